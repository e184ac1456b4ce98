"""Mode by act: what each kind of utterance does in each mode. Data; printed into DEVELOPERS.md.

Modes: idle (nothing open), asking (a question for an input is open), choosing (between
readings), confirming (a repaired unit or number). Walking comes with the walks.
"""

from __future__ import annotations

ACTS = (
    "ask", "tell", "change", "bare", "yes", "no", "unsure", "why", "undo", "redo", "cancel",
    "help", "repeat", "log", "leave", "reset",
)  # fmt: skip

_ALWAYS = {
    "undo": "undo", "redo": "redo", "repeat": "repeat", "leave": "leave", "reset": "reset",
    "log": "log", "help": "help",
}  # fmt: skip

TABLE: dict[str, dict[str, str]] = {
    "idle": {
        **_ALWAYS,
        "ask": "start", "tell": "tell", "change": "change", "bare": "change", "yes": "nothing_open",
        "no": "say_what", "unsure": "nothing_open", "why": "why", "cancel": "nothing_open",
    },
    "asking": {
        **_ALWAYS,
        "ask": "answer_or_start", "tell": "fill", "change": "change", "bare": "fill",
        "yes": "ask_again", "no": "ask_again", "unsure": "usual", "why": "why_asked",
        "cancel": "cancel",
    },
    "choosing": {
        **_ALWAYS,
        "ask": "pick_or_start", "tell": "pick_or_start", "change": "pick_or_start", "bare": "pick_or_start",
        "yes": "nod", "no": "ask_again", "unsure": "ask_again", "why": "why_choose",
        "cancel": "cancel",
    },
    "confirming": {
        **_ALWAYS,
        "ask": "start", "tell": "tell", "change": "change", "bare": "start", "yes": "confirmed",
        "no": "not_confirmed", "unsure": "ask_again", "why": "why_choose", "cancel": "cancel",
    },
}  # fmt: skip
"""mode -> act -> handler in turn.py; a test holds that every cell is filled."""
