"""Replies for the ear: numbers, units and symbols as words, in the order in which they must be heard.

Numbers are worded here and not left to the speech program: programs differ in how they say "12,500",
"4.10" and "5-7", and a number heard wrong is a wrong number. Nothing here starts a program or reads a clock.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction

from assistant.replies import Answer, Ask, Assume, Caution, Done, Refuse, Reply, Why
from grammar.dates import MONTH_NAMES
from grammar.numerals import ORDINALS

LABEL = {"stop": "Stop.", "caution": "Caution.", "note": "Remember."}
"""What is said before a caution, as the screen writes it."""

_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_SCALES = ((10**12, "trillion"), (10**9, "billion"), (10**6, "million"), (1000, "thousand"))
_PARTS = {2: ("half", "halves"), 3: ("third", "thirds"), 4: ("quarter", "quarters"), 5: ("fifth", "fifths"),
          8: ("eighth", "eighths"), 10: ("tenth", "tenths")}  # fmt: skip
_CHARACTERS = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_PLACE = {number: word for word, number in ORDINALS.items()}

UNITS = {
    "mV per pH": ("millivolt per p H", "millivolts per p H"),
    "kg/m3": ("kilogram per cubic metre", "kilograms per cubic metre"),
    "kg/kg": ("kilogram per kilogram", "kilograms per kilogram"),
    "kg/L": ("kilogram per litre", "kilograms per litre"),
    "mg/kg": ("milligram per kilogram", "milligrams per kilogram"),
    "g/kg": ("gram per kilogram", "grams per kilogram"), "mg/L": ("milligram per litre", "milligrams per litre"),
    "g/mL": ("gram per millilitre", "grams per millilitre"), "mL/L": ("millilitre per litre", "millilitres per litre"),
    "g/L": ("gram per litre", "grams per litre"), "mol/L": ("mole per litre", "moles per litre"),
    "fl oz": ("fluid ounce", "fluid ounces"), "mm": ("millimetre", "millimetres"), "cm": ("centimetre", "centimetres"),
    "cm3": ("cubic centimetre", "cubic centimetres"), "m2": ("square metre", "square metres"),
    "m3": ("cubic metre", "cubic metres"), "m": ("metre", "metres"), "ft": ("foot", "feet"), "in": ("inch", "inches"),
    "mg": ("milligram", "milligrams"), "kg": ("kilogram", "kilograms"), "g": ("gram", "grams"),
    "t": ("tonne", "tonnes"),
    "lb": ("pound", "pounds"), "lbs": ("pound", "pounds"), "oz": ("ounce", "ounces"),
    "mL": ("millilitre", "millilitres"), "ml": ("millilitre", "millilitres"), "cL": ("centilitre", "centilitres"),
    "dL": ("decilitre", "decilitres"), "L": ("litre", "litres"), "l": ("litre", "litres"),
    "tsp": ("teaspoon", "teaspoons"), "tbsp": ("tablespoon", "tablespoons"),
    "SHU": ("Scoville heat unit", "Scoville heat units"), "shu": ("Scoville heat unit", "Scoville heat units"),
    "ppm": ("part per million", "parts per million"), "mV": ("millivolt", "millivolts"), "V": ("volt", "volts"),
    "kcal": ("kilocalorie", "kilocalories"), "kJ": ("kilojoule", "kilojoules"), "W": ("watt", "watts"),
    "min": ("minute", "minutes"), "h": ("hour", "hours"), "s": ("second", "seconds"), "N": ("normal", "normal"),
    "%": ("percent", "percent"),
    "C": ("degree Celsius", "degrees Celsius"), "F": ("degree Fahrenheit", "degrees Fahrenheit"),
}  # fmt: skip
"""What is written after a number, as it is said for one and for any other number."""

_ALONE = tuple(one for one in UNITS if one not in ("in", "m", "t", "h", "s", "N", "C", "F", "W", "V", "l", "min"))
"""Units that are units without a number before them too; the others are letters and words then."""

_LETTERS = {"US": "U S", "USDA": "U S D A", "EU": "E U", "CFR": "C F R", "CO2": "C O two", "H2S": "H two S",
            "EFSA": "E F S A", "FDA": "F D A", "JSON": "Jason", "CSV": "C S V"}  # fmt: skip
_SIGNS = {"<=": "at most", ">=": "at least", "<": "less than", ">": "more than", "~": "about", "±": "plus or minus",
          "+": "plus", "=": "equals", "&": "and", "×": "times",
          "≤": "at most", "≥": "at least", "≈": "about"}  # fmt: skip
_HOLDERS = (
    "crock",
    "jar",
    "bottle",
    "vessel",
    "bucket",
    "barrel",
    "tub",
    "pot",
    "batch",
    "trial",
    "sample",
    "bin",
    "bag",
)
"""After these a unit is said in the singular: "the eight litre crock"."""

_NUMBER = r"(?:\d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?|\d+(?:\.\d+)?|(?<![\w.])\.\d+)"
_UNIT = "|".join(re.escape(one) for one in sorted(UNITS, key=len, reverse=True) if one not in ("in", "s", "t"))
_ONLY = "|".join(re.escape(one) for one in sorted(_ALONE, key=len, reverse=True))
_INCH = r"in(?=\ (?:below|above|deep|high|wide|tall|long|across|of\ (?:room|headspace)|x\ )|[;,.)]|$)"
_MONTHS = "|".join(one.capitalize() for one in MONTH_NAMES)
_SMALL_MONTHS = "|".join(one for one in MONTH_NAMES if one != "may")
_DAYS = "Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday"

_AMOUNT = rf"[-+~]?{_NUMBER}\s?(?:°\s?)?(?:{_UNIT}|US [a-z]+(?: ounces?)?|imperial [a-z]+(?: ounces?)?|weeks?|days?)?"
_SAME = re.compile(rf"(?:about )?{_AMOUNT}(?:(?:, | to | \+ |-| ){_AMOUNT})*(?: of (?:water|acetic acid))?")
"""A bracket that says the amount before it once more in another measure."""
_ENDS_AMOUNT = re.compile(
    rf"{_NUMBER}\s?(?:{_UNIT}|in|degrees|(?:US |imperial )?(?:fluid )?"
    r"(?:gallon|quart|pint|cup|ounce|tablespoon|teaspoon|day|week)s?)"
    rf"(?: of (?:{_NUMBER}% )?(?:[a-z]+ ){{0,3}}(?:water|vinegar))?$"
)
_SPAN = re.compile(rf"{_NUMBER}[^\d()]{{0,12}}(?: to |-){_NUMBER}")
_FORMULA = re.compile(r" = |\^")
_PER = re.compile(rf"(?<=\d)(\s?(?P<unit>{_UNIT}))/(?P<per>\d|(?:{_UNIT})\b)")
_SOURCE = re.compile(r"\bCFR\b|\bUSDA\b|\bFood Code\b|\bno source\b|\bISO\b|\bNIST\b|\bEU list\b|^https?:")

_ITEMS = re.compile(
    rf"""
      (?P<iso>(?<![\w-])\d{{4}}-\d\d-\d\d(?![\w-]))
    | (?P<lot>\b[A-Z]+\d+(?:-\d+)+\b)
    | (?P<slashed>(?<![\w/])\d+/\d+/\d+(?![\w/]))
    | (?P<date>(?:(?P<weekday>{_DAYS})\ )?(?:the\ )?(?<![\w.,])(?P<day>[1-9]|[12]\d|3[01])
        \ (?P<month>{_MONTHS}|{_SMALL_MONTHS})\b
        (?:,?\ (?P<year>\d{{4}})(?![\w.]*\d))?)
    | (?P<ordinal>\b\d+(?:st|nd|rd|th)\b)
    | (?P<ratio>(?<![\w.:])\d+:\d+(?![\w:]))
    | (?P<amount>(?P<sign>(?<![\w)])[-+])?(?P<whole>{_NUMBER})
        (?:(?P<fraction>/\d+)(?![\w/]))?
        (?:(?P<span>\s?[-–]\s?)(?P<upto>{_NUMBER})(?![\w]*-\d))?
        (?P<log>-(?=[a-zA-Z]))?
        (?:\s?°?\s?(?:(?P<unit>{_UNIT})(?![\w/]|\.\w)|(?:(?<=\ )(?P<inch>{_INCH}))|(?P<second>s|t)(?![\w'])))?)
    | (?P<in_scale>\bin\ (?P<scale>[CF])\b)
    | (?P<ph>\b[pP][hH]\b)
    | (?P<letters>\b(?:{"|".join(_LETTERS)})\b)
    | (?P<per>\b(?:[aA]|per|each)\ (?P<per_unit>{_ONLY})(?![\w'/]))
    | (?P<unit_alone>(?<![\w'.])(?:{_ONLY})(?![\w'/]))
    | (?P<times>(?<=\s)x(?=\s)|(?<=\d)\s?x\s?(?=\d))
    | (?P<over>\s/\s)
    | (?P<minus>(?<=\s)[-−]\s?(?=[-\w(]))
    | (?P<power>\^)
    | (?P<either>(?<=[A-Za-z])/(?=[A-Za-z]))
    | (?P<symbol><=|>=|[<>~±+=&×≤≥≈])
    """,
    re.VERBOSE,
)


def whole(value: int) -> str:
    """A whole number in words: 12,500 is "twelve thousand five hundred"."""
    if value < 20:
        return _ONES[value]
    if value < 100:
        ten, one = divmod(value, 10)
        return f"{_TENS[ten]}-{_ONES[one]}" if one else _TENS[ten]
    if value < 1000:
        hundreds, rest = divmod(value, 100)
        return f"{_ONES[hundreds]} hundred{f' {whole(rest)}' if rest else ''}"
    if value >= 10**15:
        return digits(str(value))
    size, name = next(one for one in _SCALES if value >= one[0])
    many, rest = divmod(value, size)
    return f"{whole(many)} {name}{f' {whole(rest)}' if rest else ''}"


def digits(text: str) -> str:
    """Digits one by one: "026" is "zero two six"."""
    return " ".join(_ONES[int(one)] for one in text)


def number(text: str) -> str:
    """A number as it is written, in words; every decimal is said, so "4.10" stays "four point one zero"."""
    head, _, tail = text.replace(",", "").partition(".")
    said = digits(head) if len(head) > 1 and head[0] == "0" else whole(int(head or "0"))
    return f"{said} point {digits(tail)}" if tail else said


def fraction(top: int, bottom: int) -> str:
    """ "one half", "three quarters", "seven over sixteen"."""
    if bottom not in _PARTS or not 0 < top < bottom:
        return f"{whole(top)} over {whole(bottom)}"
    return f"{whole(top)} {_PARTS[bottom][top > 1]}"


def unread(text: str) -> tuple[str, ...]:
    """The brackets of a text that are not said: sources, and the same amount in another measure."""
    return tuple(text[start + 1 : end - 1] for start, end in _brackets(text) if _silent(text, start, end))


def worded(text: str, formula: bool = False) -> str:
    """A text in words for the ear; in a formula its brackets are said, elsewhere they are pauses."""
    for sign, plain in _CHARACTERS.items():
        text = re.sub(rf"(?<=\d){sign}", f" {plain}", text).replace(sign, plain)
    text = re.sub(r"\bF\((\d[^()]*)\)", r"F at \1,", text)  # minutes at a temperature, as the tables write them
    text = _bracketed(text, formula)
    parts = re.split(r'"([^"]*)"', text)
    out = ""
    for at, part in enumerate(parts):
        quoted = at % 2 == 1
        said = _ITEMS.sub(_item, _mixed(_as_typed(part) if quoted else _unquoted(part, formula)))
        # a quote of several words is set apart, or it runs into the sentence
        out += f", {said.strip()}, " if quoted and len(said.split()) > 1 else said
    return _tidy(out)


def spoken(replies: Sequence[Reply]) -> str:
    """All replies of a turn for the ear.

    A stop comes first: it must be heard before anything is done with a number, and what is said can be cut off by
    the next key. Then the answer's first sentence and the cautions that go with it, then the rest, a question last,
    so that it is what is in the ear when it is answered.
    """
    said: list[str] = []
    later: list[str] = []
    questions: list[str] = []
    first = [one for one in replies if isinstance(one, Caution) and one.severity == "stop"]
    cautions = [one for one in replies if isinstance(one, Caution) and one.severity == "caution"]
    answered = False
    said += [_caution(one) for one in first]
    for at, one in enumerate(replies):
        if one in first:
            continue
        if isinstance(one, Answer):
            lead = one.lead or one.text
            (later if answered else said).append(worded(lead))
            if not answered:
                said += [_caution(each) for each in cautions]
            answered = True
            later.append(worded(one.text.removeprefix(lead)))
        elif one in cautions:
            if not any(isinstance(each, Answer) for each in replies):
                said.append(_caution(one))
        elif isinstance(one, Ask | Done):
            questions.append(worded(one.text))
        elif isinstance(one, Assume):
            before = at and isinstance(replies[at - 1], Assume)
            (later if answered else said).append(f"{'' if before else 'Assumed: '}{worded(one.text)}")
        else:
            (later if answered else said).append(_plainly(one))
    return "\n".join(one for one in (*said, *later, *questions) if one)


def counted(text: str) -> str:
    """A timer's row for the ear: "9:05 stir" is "nine minutes five seconds: stir"."""

    def time(found: re.Match[str]) -> str:
        *hours, minutes, seconds = (int(one) for one in found[0].split(":"))
        parts = ((hours[0] if hours else 0, "hour"), (minutes, "minute"), (seconds, "second"))
        said = [f"{whole(value)} {name}{'' if value == 1 else 's'}" for value, name in parts if value]
        named = not found.start() and found.end() < len(text)
        return f"{' '.join(said or ['no time'])}{':' if named else ''}"

    out = re.sub(r"(?<![\w:])(\d+:)?\d{1,2}:\d\d(?![\w:])", time, text)
    return worded(out)


def _caution(one: Caution) -> str:
    return f"{LABEL[one.severity]} {worded(one.text)}"


def _plainly(one: Reply) -> str:
    if isinstance(one, Caution):
        return _caution(one)
    if isinstance(one, Refuse):
        return f"No. {worded(one.text)}"
    return worded(one.text, formula=isinstance(one, Why) and _FORMULA.search(one.text) is not None)


def _brackets(text: str) -> list[tuple[int, int]]:
    """Where the outermost brackets stand."""
    out, depth, start = [], 0, 0
    for at, letter in enumerate(text):
        if letter in "([":
            start = start if depth else at
            depth += 1
        elif letter in ")]" and depth:
            depth -= 1
            if not depth:
                out.append((start, at + 1))
    return out


def _silent(text: str, start: int, end: int) -> bool:
    inner = text[start + 1 : end - 1].strip()
    if _SOURCE.search(inner):
        return True
    before = re.sub(r" \([^()]*\)", "", text[:start]).rstrip()
    if _SAME.fullmatch(inner) is None or _ENDS_AMOUNT.search(before) is None:
        return False
    # "70 to 75 F (21 to 24 C)" is the same in another measure; "3 g (2 to 4)" says how far off that may be
    return not _SPAN.search(inner) or _SPAN.search(before[-30:]) is not None


def _bracketed(text: str, formula: bool) -> str:
    """The text with its brackets left out, turned into pauses, or said."""
    for start, end in reversed(_brackets(text)):
        inner, before, after = text[start + 1 : end - 1], text[:start], text[end:]
        if _silent(text, start, end):
            text = f"{before.rstrip()}{after}"
        elif before[-1:].isalpha() and (formula or "=" in text):  # a function: "holding time(70 C, 4.1)"
            text = f"{before} of {_bracketed(inner, True)}, {after}"
        elif formula:
            text = f"{before} open bracket, {_bracketed(inner, True)}, close bracket, {after}"
        elif before[-1:].isalnum():  # "101.9(c)"
            text = f"{before} {_bracketed(inner, False)} {after}"
        else:
            text = f"{before.rstrip()}, {_bracketed(inner, False)}, {after.lstrip()}"
    return text


def _mixed(text: str) -> str:
    """ "2 1/2" as "2 and a half"."""

    def one(found: re.Match[str]) -> str:
        top, bottom = int(found[2]), int(found[3])
        if not top or bottom not in _PARTS or top >= bottom:
            return found[0]
        said = fraction(top, bottom)
        return f"{number(found[1])} and {'a' + said.removeprefix('one') if top == 1 else said}"

    return re.sub(r"(?<![\w.,/])(\d+)[ -](\d+)/(\d+)(?![\w/])", one, text)


def _unquoted(text: str, formula: bool) -> str:
    """What a remark or a name brings into a sentence: a comma for a point, figures with two points, a dash, a rate."""
    text = re.sub(r"(?<![\d.,])(\d+),(\d{1,2})(?![\d,]|\.\d)", r"\1.\2", text)
    text = re.sub(r"(?<![\d.,])\d+(?:,\d+)+(?![\d.])", _by_commas, text)
    text = re.sub(
        r"(?<![\d.])\d+(?:\.\d+){2,}(?!\d)", lambda all_: " point ".join(map(digits, all_[0].split("."))), text
    )
    if (
        not formula and " = " not in text
    ):  # in a sum it is a minus; here it may be "3 to 4" as well, and is said as it is
        text = re.sub(r"(?<=[\w%])\s[-\u2212\u2013]\s(?=\d)", " dash ", text)
    return _PER.sub(_rate, text)


def _rate(found: re.Match[str]) -> str:
    """A rate that is no unit of its own: "10 C/min", "5 g/100 mL"."""
    if f"{found['unit']}/{found['per']}" in UNITS:
        return found[0]
    return f"{found[1]} per {UNITS[found['per']][0] if found['per'] in UNITS else found['per']}"


def _by_commas(found: re.Match[str]) -> str:
    """Figures with commas that set no thousands apart."""
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+", found[0]):
        return found[0]
    return " comma ".join(digits(part) for part in found[0].split(","))


def _as_typed(text: str) -> str:
    """What somebody typed is said as typed: the comma of "1,500" may have been meant for a point."""

    def one(found: re.Match[str]) -> str:
        return " comma ".join(digits(part) for part in found[0].split(","))

    return re.sub(r"\d+(?:,\d+)+(?![\d.])", one, text)


def _item(found: re.Match[str]) -> str:
    kind = found.lastgroup if found.lastgroup else ""
    for name in ("iso", "lot", "slashed", "date", "ordinal", "ratio", "amount", "in_scale", "per"):
        if found[name] is not None:
            kind = name
    return _SAID[kind](found)


def _iso(found: re.Match[str]) -> str:
    year, month, day = (int(one) for one in found[0].split("-"))
    if not (1 <= month <= 12 and 1 <= day <= 31):
        return " dash ".join(digits(one) for one in found[0].split("-"))
    return _date(day, MONTH_NAMES[month - 1].capitalize(), str(year))


def _date(day: int, month: str, year: str | None) -> str:
    return f"the {_PLACE[day]} of {month.capitalize()}{f' {whole(int(year))}' if year else ''}"


def _dated(found: re.Match[str]) -> str:
    weekday = f"{found['weekday']} " if found["weekday"] else ""
    return weekday + _date(int(found["day"]), found["month"], found["year"])


def _lot(found: re.Match[str]) -> str:
    letters = re.match(r"[A-Z]+", found[0])
    assert letters is not None
    return f"{' '.join(letters[0])} " + " dash ".join(digits(one) for one in found[0][letters.end() :].split("-"))


def _slashed(found: re.Match[str]) -> str:
    return " stroke ".join(digits(one) for one in found[0].split("/"))


def _ordinal(found: re.Match[str]) -> str:
    value = int(found[0][:-2])
    return _PLACE.get(value, f"number {whole(value)}")


def _ratio(found: re.Match[str]) -> str:
    first, second = (int(one) for one in found[0].split(":"))
    if len(found[0].split(":")[1]) == 2 and first != 1 and second < 60:  # a time of day
        return f"{whole(first)} hours {whole(second)}"
    return f"{whole(first)} part{'' if first == 1 else 's'} to {whole(second)} part{'' if second == 1 else 's'}"


def _amount(found: re.Match[str]) -> str:
    text, after = found["whole"], found.string[found.end() :]
    value = Fraction(text.replace(",", ""))
    said = number(text)
    if found["fraction"]:
        said = fraction(int(text), int(found["fraction"][1:])) if text.isdecimal() else f"{said} over"
        if not text.isdecimal():
            said += f" {number(found['fraction'][1:])}"
        value = Fraction(2)
    if found["span"]:
        said, value = f"{said} {_between(found)} {number(found['upto'])}", Fraction(2)
    if found["sign"]:
        said = f"{'minus' if found['sign'] == '-' else 'plus'} {said}"
    unit = found["unit"] or ("in" if found["inch"] else None) or found["second"]
    if unit:
        names = UNITS[unit]
        held = re.match(rf" (?:{'|'.join(_HOLDERS)})", after)
        several = re.match(rf" {_NUMBER}", after) and unit not in ("lb", "ft")
        return f"{said} {names[0] if held or value == 1 else names[1]}{',' if several else ''}"
    if found["log"]:
        return f"{said} "
    # two numbers side by side must not run into one
    apart = "," if re.match(rf"\s+[-+]?{_NUMBER}", after) else ""
    glued = " " if re.match(r"[A-Za-z]", after) else ""
    before = " " if re.search(r"[A-Za-z]$", found.string[: found.start()]) else ""
    return f"{before}{said}{apart}{glued}"


def _between(found: re.Match[str]) -> str:
    """What the dash between two numbers is: a span, or a minus if it stands alone between a larger and a smaller."""
    return "minus" if found["span"].startswith(" ") else "to"


_SAID: dict[str, Callable[[re.Match[str]], str]] = {
    "iso": _iso, "lot": _lot, "slashed": _slashed, "date": _dated, "ordinal": _ordinal, "ratio": _ratio,
    "amount": _amount,
    "in_scale": lambda found: f"in {UNITS[found['scale']][1]}",
    "ph": lambda _: "p H",
    "letters": lambda found: _LETTERS[found[0]],
    "per": lambda found: f"{found[0].split()[0]} {UNITS[found['per_unit']][0]}",
    "unit_alone": lambda found: UNITS[found[0]][1],
    "times": lambda _: " times ",
    "over": lambda _: " divided by ",
    "minus": lambda _: "minus ",
    "power": lambda _: " to the power of ",
    "either": lambda _: " or ",
    "symbol": lambda found: f" {_SIGNS[found[0]]} ",
}  # fmt: skip


def _tidy(text: str) -> str:
    """Blanks and pauses as they are written."""
    text = re.sub(r"\d+", lambda found: f" {number(found[0])} ", text.replace("E. coli", "E coli"))
    text = re.sub(r"[^\w\s.,;:?!'-]", " ", text.replace("/", " stroke ").replace("|", ",").replace("…", "...")).replace(
        "_", " "
    )
    text = text.replace(" equals", ", equals")
    text = re.sub(r"\s+", " ", text)
    text = re.sub(r"\s+([,.;:?!])", r"\1", text)
    text = re.sub(r",(?:\s*,)+", ",", text)
    text = re.sub(r",\s*([.;:?!])", r"\1", text)
    text = re.sub(r"([.;:?!(]),", r"\1", text)
    text = re.sub(r"(^|[.?!] )([a-z])", lambda found: found[1] + found[2].upper(), text.lstrip(" ,!-").rstrip(" ,"))
    return text
