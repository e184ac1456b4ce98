"""The question that is open, in words, and the one that waits behind it."""

from __future__ import annotations

from dataclasses import replace

from assistant.replies import Ask, Reply
from assistant.talk import words as say
from assistant.talk.state import State
from assistant.trade import calculator


def ask(state: State) -> Ask:
    """The open question, in words."""
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    return Ask(say.question(chosen, state.asking[0]), state.asking)


def reopened(state: State) -> State:
    """The state with the question that was left open for another one asked again."""
    outer = state.suspended[-1]
    rest = state.suspended[:-1]
    return replace(
        state, mode="asking", job=outer.job, asking=outer.asking, later=outer.later, suspended=rest, options=()
    )


def open_question(state: State) -> tuple[Reply, ...]:
    """The question that is still open, asked again."""
    if state.mode == "asking" and state.job is not None:
        return (ask(state),)
    if state.mode in ("choosing", "confirming"):
        return tuple(one for one in state.said if isinstance(one, Ask))
    return ()
