"""Which calculator a sentence calls."""

from __future__ import annotations

from assistant.declare import Calculator
from assistant.talk.convert import THROUGH
from assistant.talk.place import SPOONS, dimension, owning, place, possible
from assistant.trade import CALCULATORS
from grammar.types import Amount, Reading

_WEIGHT = {"@": 0.9, "#": 0.4, "?": 1.5}
_SPECIAL = {
    "#up": 2.5,
    "#down": 2.5,
    "raising": 2.0,
    "diluting": 2.0,
    "mixing": 2.0,
    "topping": 2.0,
    "straining": 3.0,
    "simmering": 3.0,
    "#spoon": 0.8,
    "#per": 0.8,
    "#into": 1.5,
    "#pairs": 1.6,
    "#thinned": 3.0,
    "#soured": 2.5,
    "#aims": 4.0,
    "#levered": 4.0,
    "#vinegars": 3.0,
    "titrating": 2.0,
    "swapping": 2.0,
    "filling-hot": 9.0,
    "#jarred": 9.0,
    "equivalence": 9.0,
}
_TIE = 0.25
_FRUIT = ("mango", "pineapple", "apple", "peach", "tomato")
_SUGARY = ("sugar", "honey")


def tokens(reading: Reading) -> frozenset[str]:
    """What ``called_by`` sets are matched against: terms, @kinds, #dimensions, ?wanted."""
    found = set(reading.terms)
    found |= {f"@{word.kind}" for word in reading.all_words}
    found |= {f"#{dimension(one.unit)}" for one in reading.amounts if dimension(one.unit)}
    found |= {f"?{one}" for one in reading.wanted}
    if any(one.unit.endswith(SPOONS) for one in reading.amounts) or reading.unit.endswith(SPOONS):
        found.add("#spoon")
    if len(reading.amounts) == 1 and _salt_by_volume(reading.amounts[0]):
        found |= {"#spoon", "salt", "@salt"}  # "how much does a cup of fine salt weigh"
    if reading.amounts and reading.terms & {"fine", "flake", "iodised", "reduced"}:
        found.add("salt")
    if any(one.mark == "per" for one in reading.amounts):
        found.add("#per")
    dimensions = {dimension(one.unit) for one in reading.amounts}
    pair = (next(iter(dimensions), ""), dimension(reading.unit))
    if reading.unit and len(reading.amounts) == 1 and pair in THROUGH:
        found.add("#into")
    if any(one.said("noun") == "salt" and dimension(one.unit) == "mass" for one in reading.amounts):
        found.add("#salt")
        if any(one.said("noun") == "water" and dimension(one.unit) in ("mass", "volume") for one in reading.amounts):
            found.add("#salted")
    if reading.question and not reading.wanted and {"#mass", "#fraction"} <= found and len(reading.amounts) > 2:
        found.add("checking")
    found |= _shift(reading) | _levers(reading)
    if _thinned(reading):
        found.add("#thinned")
    if _two_vinegars(reading):
        found.add("#vinegars")
    held = [one for one in reading.amounts if dimension(one.unit) in ("mass", "volume")]
    found |= _hot(reading) | _into_sauce(reading) | _jarred(reading)
    strong = [one for one in reading.amounts if dimension(one.unit) == "fraction"]
    wished = any(one.mark == "to" for one in (*held, *strong))
    if len(held) == len(strong) == 2 and not wished and not _either(reading, found):
        order = [one.unit == "percent" for one in sorted((*held, *strong), key=lambda one: one.span)]
        if order in ([False, True, False, True], [True, False, True, False]):
            found.add("#pairs")
    return frozenset(found)


def _either(reading: Reading, found: set[str]) -> bool:
    """Whether the two are not put together: one or the other, taken of everything, or brine over produce."""
    return bool(found & {"@basis", "@compare", "@produce"}) or " or " in reading.text.lower()


def _two_vinegars(reading: Reading) -> bool:
    """Two strengths of vinegar and no more than one amount of it: the recipe's, and the one that there is."""
    if not reading.terms & {"vinegar", "own-vinegar"}:
        return False
    strong = [one for one in reading.amounts if dimension(one.unit) == "fraction"]
    held = [one for one in reading.amounts if dimension(one.unit) in ("mass", "volume")]
    nouns = {one.noun.term for one in reading.amounts if one.noun is not None}
    return len(strong) == 2 and len(held) < 2 and nouns <= {"vinegar", "own-vinegar"}


def _thinned(reading: Reading) -> bool:
    """Water put to a brine or a mash that is there: "5 litres of 4 % brine plus 2 litres of water"."""
    known = ("mass", "volume")
    has = [one for one in reading.amounts if one.tied and one.said("noun") in ("brine", "mash", "batch")]
    has = [one for one in has if dimension(one.unit) in known]
    water = [one for one in reading.amounts if one.said("noun") == "water" and dimension(one.unit) in known]
    strengths = [one for one in reading.amounts if dimension(one.unit) == "fraction" and one.mark != "to"]
    named = {"topping", "mixing", "straining", "simmering", "@produce", "@vessel"} & {
        *reading.terms,
        *(f"@{w.kind}" for w in reading.all_words),
    }
    return len(has) == len(water) == len(strengths) == 1 and not named


def _hot(reading: Reading) -> set[str]:
    """#cooler where a heat is wished for, #hots where one is told."""
    hots = [one for one in reading.amounts if dimension(one.unit) == "pungency"]
    asked = {"pungency"} if reading.unit == "pungency" else set()
    if not hots:
        return asked
    return {"#cooler" if any(one.mark == "to" for one in hots) else "#hots", *asked}


def _into_sauce(reading: Reading) -> set[str]:
    """#sweets where one sweet thing goes into a sauce, #soured where vinegar does."""
    found = set()
    sweet = [one for one in reading.amounts if one.said("produce") in _FRUIT or one.said("substance") in _SUGARY]
    into = [one for one in reading.amounts if one.said("noun") == "batch" and one not in sweet]
    if len(sweet) == len(into) == 1 and len(reading.amounts) == 2:
        found.add("#sweets")
    poured = [one for one in owning(list(reading.amounts)) if dimension(one.unit) in ("mass", "volume")]
    soured = [one for one in poured if one.said("substance") == "vinegar"]
    plain = [one for one in poured if one.noun is None or one.said("noun") == "batch"]
    if len(soured) == len(plain) == 1 and len(poured) == 2:
        found.add("#soured")
    return found


def _jarred(reading: Reading) -> set[str]:
    """#jarred where jars of a size take a sauce, and nothing is fermented in them: "250 ml jars from 4 litres"."""
    held = [one for one in reading.amounts if dimension(one.unit) in ("mass", "volume")]
    named = reading.terms >= {"jar"}
    jars = [one for one in held if one.said("vessel") == "jar" or (named and one.noun is None and one.mark == "of")]
    jars = [one for one in jars if dimension(one.unit) == "volume"]
    sauce = [one for one in held if one not in jars]
    poured = [one for one in sauce if one.said("noun") in ("batch", "strained") or (one.noun is None and one.mark)]
    counted = [one for one in reading.amounts if not one.unit and one.said("vessel") == "jar"]
    if len(jars) != 1 or len(reading.amounts) != 2 or reading.terms & {"mash", "brine", "salt", "water", "produce"}:
        return set()
    many = "count" in reading.wanted or "sauce" in reading.text.lower()
    kept = not any(word.kind == "produce" for word in reading.all_words)
    drawn = len(poured) == 1 and (poured[0].mark == "from" or poured[0].noun is not None)
    return {"#jarred"} if kept and many and (drawn or counted) else set()


def _levers(reading: Reading) -> set[str]:
    """#aims where several things are wished for together, #levered where one is, by means of a named strength."""
    wishes = [one for one in reading.amounts if one.mark == "to"]
    strengths = [one for one in wishes if dimension(one.unit) == "fraction"]
    others = [one for one in strengths if one.said("property") == "acetic" or one.said("substance") == "gum"]
    salts = [one for one in strengths if one not in others]
    ends = [one for one in wishes if dimension(one.unit) in ("volume", "mass")]
    salted = any(one.said("noun") == "salt" for one in salts)
    kinds = bool(salts) + len({one.said("property") or one.said("substance") for one in others})
    hot = any(dimension(one.unit) == "pungency" for one in wishes)
    if ((others or hot) and kinds + bool(ends) + hot > 1) or (salted and ends):
        return {"#aims"}
    now = [one for one in reading.amounts if dimension(one.unit) == "fraction" and one not in wishes]
    means = [one for one in now if one.said("noun") in ("brine", "mild") or one.said("substance") == "vinegar"]
    by = [one for one in means if one.mark == "with" or len(now) > len(means)]
    if len(salts) == 1 and len(now) > 1 and any(one.said("property") == "acetic" for one in now):
        return {"#levered"}  # "3 % salt, 1 % acetic, want 2 % salt"
    unsalted = any(word.term in ("unsalted", "mild") for word in reading.words)
    return {"#levered"} if len(salts) == 1 and not others and (by or (unsalted and not now)) else set()


def _salt_by_volume(amount: Amount) -> bool:
    noun = amount.noun
    salty = noun is not None and (noun.kind == "salt" or noun.term == "salt")
    return salty and dimension(amount.unit) == "volume"


def _shift(reading: Reading) -> set[str]:
    """#up or #down where the sentence takes a strength to another one."""
    strengths = [one for one in reading.amounts if dimension(one.unit) == "fraction"]
    to = [one for one in strengths if one.mark == "to"]
    now = [one for one in strengths if one.mark != "to" and not one.said("property")]
    said = {"says", "said", "book", "recipe"} & set(reading.text.lower().split())
    if len(to) != 1 or len(now) != 1 or said:
        return set()
    goes_in = {"brine", "produce", *(word.term for word in reading.all_words if word.kind == "produce")}
    settles = "equilibrium" in reading.terms and (reading.terms & goes_in or not _plain_weight(reading))
    if any(word.kind == "vessel" for word in reading.all_words) or settles:
        return set()
    topics = {word.term for word in reading.words if word.kind == "topic"}
    if "raising" in topics and "diluting" not in topics:
        return {"#up"}  # also from 6 down to 2 %, which is then refused
    thins = any(word.term == "water" for word in reading.words) and "salt" not in reading.wanted
    return {"#up"} if to[0].value > now[0].value and not thins else {"#down"}


def _plain_weight(reading: Reading) -> bool:
    """Whether there is one weight, of nothing that is said or of a sauce: "two kilos at three, 2 % in the end"."""
    held = [one for one in reading.amounts if dimension(one.unit) in ("mass", "volume")]
    return len(held) == 1 and (held[0].noun is None or held[0].said("noun") == "batch")


def _call(calculator: Calculator, said: frozenset[str]) -> float:
    best = 0.0
    for wanted in calculator.calls:
        if wanted <= said:
            best = max(best, sum(_SPECIAL.get(one, _WEIGHT.get(one[0], 1.0)) for one in wanted))
    return best


_OWNED = frozenset[str]().union(*(one.owns for one in CALCULATORS))


_UNDATED = ("bottling",)
"""What is wanted by a day that the sum has no use for; the day is named as not used."""


_SWEETENED = ("#up", "#down", "raising", "diluting", "sweetening")


def _of_sauce(reading: Reading) -> bool:
    """Whether a sauce that was strained is spoken of; "the liquid" may be any."""
    said = (word for word in reading.all_words if word.term == "strained")
    return any(word.text.lower() not in ("liquid", "strained liquid") for word in said)


def _sweet(reading: Reading, said: frozenset[str]) -> bool:
    """Whether a strength that is raised or lowered is sugar's: "bring the sugar from 3 to 6 %"."""
    return bool(said & set(_SWEETENED)) and bool(said & {"sugar", "honey"}) and "salt" not in said


def score(calculator: Calculator, reading: Reading, said: frozenset[str], kitchen: str) -> float:
    """How well the calculator answers the sentence; 0 or less means not at all."""
    call = _call(calculator, said)
    if not call or calculator.excluded_by & said:
        return 0.0
    if (other := said & _OWNED) and not other & calculator.listens:
        return 0.0
    if (calculator.name == "brine" or calculator.starts_ferment) and _of_sauce(reading):
        return 0.0  # what is a sauce already is no water to be salted
    if _sweet(reading, said) and not calculator.has("sweet"):
        return 0.0
    packs = {"@produce", "produce", "@vessel", "brine", "mash", "covering", "fitting", "fermenting", "mashing"}
    if calculator.name in ("packed", "mash") and "#salt" in said and not packs & said:
        return 0.0  # salt and water with nothing in it: no produce is thought up
    found = place(calculator, reading.amounts, kitchen)
    taken = {one.name for one in found.given}
    lost = len(found.misfit)
    for amount in found.unplaced:
        if calculator.name in _UNDATED and dimension(amount.unit) in ("date", "time", "months"):
            continue
        lost += bool(amount.unit) and not possible(calculator, amount, taken)
    total = call + 0.3 * len(found.given) - 2.0 * lost
    for wanted in reading.wanted:
        total += 1.0 if wanted in calculator.wanted else -1.5
    return total


def choose(reading: Reading, kitchen: str) -> tuple[Calculator, ...]:
    """The calculators that fit best: none, one, or several that only the person can tell apart.

    Two are a question only where both start a ferment: taking a dry mash for a brine, or
    the other way, would give too little salt.
    """
    said = tokens(reading)
    ranked = sorted(
        ((score(one, reading, said, kitchen), -order, one) for order, one in enumerate(CALCULATORS)),
        key=lambda entry: entry[:2],
        reverse=True,
    )
    top, _, best = ranked[0]
    if top <= 0:
        return ()
    if not best.starts_ferment:
        return (best,)
    tied = tuple(one for points, _, one in ranked if points > top - _TIE and one.starts_ferment)
    named = [one for one in tied if one.name == "mash" and said & {"mash", "mashing"} and not said & {"brine", "water"}]
    return (named[0],) if named else tied
