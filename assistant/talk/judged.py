"""A verdict on a pH as an answer, with its numbers, and what it rests on when somebody asks why."""

from __future__ import annotations

from assistant.replies import Answer, Reply, Value, Why
from assistant.rules.verdict import Verdict, lead, onward, reasons


def answer(judged: Verdict, values: list[float]) -> Answer:
    """The verdict first, then which of several readings counts, then what to do next."""
    found = [lead(judged)]
    if len(values) > 1:
        found.append("Of these the highest counts: pH does not average.")
    if len(values) > 1 and values[-1] == max(values) > values[0] and not judged.void:
        found.append("It rose: pieces may still have given up their juice, or growth ate acid.")
    found.append(onward(judged))
    text = " ".join(one for one in found if one)
    return Answer(text, "ph", shown(judged), found[0])


_VOID = "void_"


def shown(judged: Verdict) -> tuple[Value, ...]:
    """The verdict's numbers: the reading, how far off it may be, and why it is void if it is."""
    found = (Value("ph", judged.sample.ph, "pH"), Value("error", judged.off, "pH"))
    return (*found, Value(f"{_VOID}{judged.void}", 1.0, "")) if judged.void else found


def reasons_of(one: Answer) -> list[Reply]:
    """What a verdict that was said rests on."""
    found = {each.name: each.value for each in one.values}
    void = next((name.removeprefix(_VOID) for name in found if name.startswith(_VOID)), "")
    return [Why(text, source=str(source)) for text, source in reasons(found["ph"], found["error"], void)]
