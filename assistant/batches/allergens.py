"""Which allergens were named when something went in, and which a person must look for on their own packets.

Nobody's words prove that an allergen is absent, so nothing here ever says "free of". The US list and the EU list stand
beside each other; a label goes by the law of the place where the bottle is handed over.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.declare import Source
from grammar.later import regex

US_NINE = Source(
    "US: FALCPA 2004 with FASTER Act 2021 (21 USC 321(qq)), nine major allergens; sulphites from 10 ppm: 21 CFR "
    "101.100(a)(4)",
    seen=False,
)
EU_FOURTEEN = Source(
    "EU: Regulation 1169/2011, Annex II, fourteen; sulphur dioxide and sulphites over 10 mg/kg or 10 mg/L", seen=False
)


@dataclass(frozen=True)
class Allergen:
    """One of the lists' entries: its name in the US and in the EU ("" where it is on no list) and the words for it."""

    us: str
    eu: str
    words: str

    @property
    def name(self) -> str:
        """Its name, with where it must be declared if that is not everywhere."""
        if self.us == self.eu:
            return self.us
        if not self.us:
            return f"{self.eu} (EU list)"
        return self.us if not self.eu else f"{self.us} (EU list: {self.eu})"


ALLERGENS = (
    Allergen("milk", "milk", r"(?<!coconut )(?<!almond )(?<!oat )(?<!soy )(?<!soya )(?<!rice )milk|whey|buttermilk|"
             r"(?<!peanut )(?<!nut )(?<!cocoa )butter|cream(?! of tartar)|cheeses?|yogh?urts?|kefir|casein"),
    Allergen("egg", "egg", r"eggs?|mayonnaise"),
    Allergen("fish", "fish", r"fish(?: sauce)?|anchov(?:y|ies)|bonito|worcester\w*"),
    Allergen("crustacean shellfish", "crustaceans",
             r"shrimps?(?: paste)?|prawns?|crabs?(?! apples?)|lobsters?|crayfish|krill"),
    Allergen("tree nuts", "nuts",
             r"almonds?|walnuts?|cashews?|pecans?|hazelnuts?|pistachios?|macadamias?|brazil nuts?"),
    Allergen("peanuts", "peanuts", r"peanuts?|groundnuts?"),
    Allergen("wheat", "cereals with gluten",
             r"wheat|(?<!rice )(?<!corn )(?<!potato )flour|semolina|spelt|soya? sauce|soya?bean sauce|shoyu"),
    Allergen("soybeans", "soybeans", r"soya?(?: sauce|beans?)?|shoyu|miso|tamari|tofu|tempeh"),
    Allergen("sesame", "sesame", r"sesame|tahini"),
    Allergen("", "cereals with gluten", r"barley|rye|oats?|malt"),
    Allergen("", "celery", r"celery|celeriac"),
    Allergen("", "mustard", r"mustard(?: seeds?)?"),
    Allergen("sulphites from 10 ppm", "sulphites over 10 mg/kg",
             r"(?:meta)?(?:bi)?sul(?:ph|f)it\w*|sul(?:ph|f)ured|sul(?:ph|f)ur dioxide|campden"),
    Allergen("", "lupin", r"lupins?"),
    Allergen("", "molluscs", r"oysters?(?! mushrooms?)|clams?|mussels?|squid|octopus|scallops?"),
)  # fmt: skip

LOOK_FOR = (
    "fish sauce", "shrimp paste", "soy sauce", "miso", "whey", "mustard", "celery", "sesame", "nuts", "malt vinegar",
    "wine vinegar", "anything sulphited (dried fruit, bottled juice)",
)  # fmt: skip
"""What goes into a sauce and carries an allergen without saying so."""

LISTS = (
    "US, nine: milk, egg, fish, crustacean shellfish, tree nuts, peanuts, wheat, soybeans, sesame; and sulphites from "
    "10 ppm. The EU's fourteen add other cereals with gluten, celery, mustard, lupin, molluscs and sulphites over "
    "10 mg/kg."
)

_COMPILED = tuple((one, regex(rf"\b(?:{one.words})\b", re.IGNORECASE)) for one in ALLERGENS)
_NOT = regex(r"\b(?:no|not|without|never|none|didn't|instead of|free of|left out)\b", re.IGNORECASE)
_FREE = regex(r"\W{0,2}free\b", re.IGNORECASE)
_CLAUSE = regex(r"[,;.!?\n]|\bbut\b|\bthen\b", re.IGNORECASE)


def named(texts: Iterable[str]) -> tuple[tuple[Allergen, str], ...]:
    """The allergens that the words name as put in, each once with the word for it, in the order of ALLERGENS.

    "No fish sauce" names none, and shows no absence either.
    """
    clauses = [clause for text in texts for clause in _CLAUSE.split(" ".join(text.split()))]
    found = []
    for one, pattern in _COMPILED:
        for clause in clauses:
            match = pattern.search(clause)
            if match and not _NOT.search(clause[: match.start()]) and not _FREE.match(clause[match.end() :]):
                found.append((one, match[0].lower()))
                break
    return tuple(found)


def told(found: tuple[tuple[Allergen, str], ...]) -> tuple[str, ...]:
    """The allergens named, each with the word for it where that is another: "fish from fish sauce"."""
    return tuple(one.name if word in one.name else f"{one.name} from {word}" for one, word in found)


def check(found: tuple[tuple[Allergen, str], ...] = ()) -> str:
    """What the person must still look for: words in the account show what is in it, never what is not."""
    there = {one for one, _ in found}
    left = [
        item
        for item in LOOK_FOR
        if not any(one in there and pattern.search(item.partition(" (")[0]) for one, pattern in _COMPILED)
    ]
    return f"Not known to me: did {', '.join(left[:-1])} or {left[-1]} go in? Read your packets. {LISTS}"
