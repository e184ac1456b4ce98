"""Questions about pH and its measuring that are answered from what is known, and pH said in other words.

Nothing here is reached by a line with a weight, a volume or a reading that is to be entered:
``asked`` looks only at lines without a number, or with one of the three lines themselves.
"""

from __future__ import annotations

import datetime
import re
from functools import lru_cache

from assistant.replies import Answer, Assume, Note, Reply, Value, Why
from assistant.rules.known import KNOWN, known
from assistant.rules.salt import FDA_KRAUT
from assistant.rules.verdict import LINES, Sample, judge, lead, onward
from assistant.show import with_unit
from assistant.talk import meaning, sample
from assistant.talk.account.about import about
from assistant.talk.account.fact import deeds_of
from assistant.talk.account.which import current, names_batch, phrase
from assistant.talk.acidity import OFF, told_after
from assistant.talk.judged import answer, reasons_of, shown
from assistant.talk.opened import open_question
from assistant.talk.state import Result, State
from assistant.trade.mixture import SALT_TOTAL
from grammar import measures
from grammar.numerals import NUMBER_WORDS
from grammar.reader import read
from grammar.types import Amount, Misread, Reading

NAME = "known"
"""What answers from here are called."""

_PH = r"p\W?h|acidity|readings?|meters?|probes?|electrodes?"
_READ = r"read|reading|measur\w+|measure|test\w*|check\w*|take the|probe\w*|sampl\w+"
_LOW = r"ok|okay|alright|all right|fine|good|allowed|enough|accurate|reliable|do|work|trust|use|count"
_DRIFT = (
    r"drift\w*|wander\w*|jump(?:s|ing|y)|unstable|all over(?: the place)?|won'?t (?:settle|stop|hold|stand)|"
    r"(?:doesn'?t|never|not) (?:settl\w+|hold\w*|stand\w*|steady)|"
    r"keeps? (?:moving|changing|going)"
)
_WARM = r"hot|warm|boiling|cool|cold|cooled|off the (?:stove|heat|hob)"
_MOULD = r"mou?ld\w*|fuzz\w*|furry"
_FRESH = (
    r"garlic|carrots?|onions?|mango\w*|bananas?|puree|tomato\w*|raw|fresh|fruit|water|sugar|honey|pineapple|"
    r"apples?|peach\w*|beets?|peppers"
)
_CHANGE = (
    r"mess\w*|affect\w*|change\w*|hurt\w*|throw\w*|bother\w*|interfer\w*|upset\w*|matter\w*|slow\w*|alter\w*|"
    r"rais\w+|skew\w*"
)

_BOTTLES = r"bottles?|jars?|glass"

_ASKED: dict[str, tuple[tuple[str, ...], ...]] = {
    "limit": (
        (
            r"why|how come|special|where (?:does|do|is)|what'?s (?:behind|the point)",
            r"4[.,]60?|p\W?h limit|limit (?:of|for|on) (?:the )?p\W?h",
        ),
    ),
    "unheated": ((r"why|how come|special", r"4[.,]20?"),),
    "aim": ((r"why|how come|special", r"4[.,]00?"),),
    "average": ((r"average\w*|averaging|mean of|the mean", r"p\W?h|meter"),),
    "bottles": ((r"how many|which ones|how often", r"bottles?|jars?|samples?", _READ + "|p\\W?h"),),
    "strips": (
        (r"strips?|litmus|ph paper", _LOW + r"|sell\w*|sold"),
        (r"do i (?:really )?need|must i (?:have|use|buy)|have to (?:have|use|buy)", r"(?:a |ph )?meter"),
    ),
    "storing": (
        (r"stor\w+|keep|keeping|kept|leave|left|soak\w*", r"probes?|electrodes?|ph meters?|meter(?:'s)? (?:tip|end)"),
    ),
    "calibrating": (
        (r"how (?:often|do i|to|should i|long)|when (?:do|should) i|do i (?:need|have) to", r"calibrat\w*"),
    ),
    "drift": ((_DRIFT, _PH + r"|drift\w*|number|display|strip"),),
    "rising": ((r"p\W?h", r"ris\w+|rose|climb\w*|creep\w*|gone up|going up|went up|goes up|higher again"),),
    "gum": ((r"gum|xanthan|guar", _PH, _CHANGE),),
    "cool": (
        (r"read|reading|measur\w+", _WARM, r"it|p\W?h|sauce|sample|mash|meter"),
        (_READ, _WARM, r"p\W?h|sample|meter"),
    ),
    "wait": ((r"when|how (?:soon|long|quick\w*)|straight after|right after|same day", _READ, r"p\W?h|blend\w*|meter"),),
    "mouldy": ((_MOULD, r"p\W?h"),),
    "added": (
        (_FRESH, r"p\W?h", _CHANGE),
        (_FRESH, r"p\W?h", r"after|once", r"add\w*|put|stir\w*|throw|blend\w*"),
    ),
    "need": (
        (
            r"which|what|what's|how (?:low|sour|acid\w*|high)|where",
            r"p\W?h",
            r"need\w*|should|aim\w*|target|want|must|supposed|ideal|right|ok|okay|enough|go(?:ing)? for|goal|safe|best",
        ),
        (r"how (?:acid\w*|sour)", r"should|must|need\w*|has to|have to"),
    ),
    "colour": ((r"red|colou?r|brown\w*", r"stay\w*|keep\w*|hold|turn\w*|go(?:es|ing)?|gone|lose|losing|fade\w*"),),
    "lumps": ((r"lump\w*|clump\w*|fish ?eyes", r"gum|xanthan|guar|it|sauce"),),
    "splits": ((r"split\w*|separat\w*", r"fridge|bottle\w*|jar|it|sauce", r"why|how|stop|it separates|in the"),),
    "thin-with": ((r"thin\w*", r"or", r"water|brine|vinegar"),),
    "thinner": ((r"thinner|runnier|more watery", r"why|how come|last|before|other"),),
    "juice": ((r"limes?|lemons?|lime juice|lemon juice|juice", r"vinegar|acid"),),
    "metals": (
        (
            r"alumini?um|copper|brass|galvani[sz]ed|zinc|cast[- ]iron|iron pot|tin (?:pot|bucket|can)|metal (?:lid|"
            r"bucket|pot|pan|bowl|spoon)|non[- ]?stainless",
            r"pots?|pans?|buckets?|lids?|bowls?|spoons?|vessel|crock|ferment\w*|brine|mash|sauce|cook\w*|boil\w*|use",
        ),
    ),
    "epsom": ((r"epsom(?: salts?)?|magnesium sul(?:ph|f)ate",),),
    "lite-salt": (
        (r"(?:lite|lo|low[- ]*sodium|reduced[- ]*sodium|light|half) ?salt|low[- ]*sodium|potassium(?: chloride)?",),
    ),
    "pink-salt": ((r"himalay\w+|pink salt|rose salt", r"salt|ok|okay|fine|use|good"),),
    "iodised-salt": ((r"(?:non[- ]*)?iodi[sz]ed|table salt", r"salt", r"can|is|ok|okay|use|have to|need|does|do"),),
    "by-taste": (
        (
            r"(?:tastes?|smells?|looks?)(?: \w+)? (?:fine|good|ok|okay|great|nice|all right|alright|clean)",
            r"safe|so it(?:'s| is)|right\?|mean\w*|ok(?:ay)? (?:to|then)|does that|must be|good to go",
        ),
        (r"(?:can|could) (?:you|i|we) (?:taste|smell|tell by (?:taste|smell))", r"botulism|bad|gone off|unsafe"),
    ),
    "chilli-burn": (
        (
            r"eyes?|hands?|fingers?|skin|face|lips?|nose|thumb",
            r"burn(?:s|ing|t|ed)?|sting(?:s|ing)?|on fire|hurts?|juice in|"
            r"chill?i(?:es)? (?:juice )?in|pepper (?:juice )?in",
        ),
    ),
    "no-acid": (
        (r"honey|sugar|maple|agave", r"instead of|in place of|rather than|as the|replace\w*", r"vinegar|acid"),
    ),
    "without-salt": (
        (
            r"(?:leave|leaving|left) (?:out )?(?:all )?(?:the )?salt(?: out| off)?|(?:without|no|skip|omit)"
            r"(?: the| any)? salt|salt[- ]?free|(?:have|need) to (?:use|add|put in) (?:any )?salt|"
            r"do without (?:the )?salt",
            r"can|could|may|do|does|is|what if|how|must|possible|ferment\w*|should",
        ),
    ),
    "chlorine": ((r"chlorine|chloramines?|chlorinated", r"water|tap|brine|ferment\w*|chloramines?"),),
    "keeps": (
        (
            r"how long",
            r"(?:does|do|will|would|can|could|should) (?:it|they|this|that|the \w+|(?:hot )?sauce|\w+ sauce) "
            r"(?:keep|last|stay good|stay fresh|be good)|can (?:i|you|we) keep|good for|keep(?:s)? for|shelf life",
        ),
    ),
    "acid-only": (
        (
            r"(?:instead of|rather than|without)(?: any| the)? (?:heat\w*|cook\w*|pasteuri\w*|boil\w*)|"
            r"(?:no|skip(?:ping)?) (?:the )?(?:heat\w*|pasteuri\w*)",
            r"acid\w*|hold\w*|leav\w*|wait\w*|stand\w*|weeks?|days?|enough|p\W?h|sour",
        ),
        (r"(?:need|have|got) to (?:heat|cook|pasteuri[sz]e)|unheated", r"acid\w*|sour|p\W?h"),
        (r"cold[- ]*(?:hold|fill)(?:s|ing|ed)?",),
    ),
    "turned": (
        (
            r"turn(?:ing|ed|s)? (?:\w+ ){0,3}(?:over|upside down|on (?:their|its) (?:heads?|caps?|lids?))|"
            r"flip(?:ping|ped|s)?(?! ?-?top)|invert\w*|inversion|upside down",
            _BOTTLES + r"|them|it|inver\w+|upside down",
        ),
    ),
    "last-bottle": (
        (r"last (?:few )?bottles?|end of the run", r"fill\w*|run|pot|hot|cool\w*|cold\w*|heat\w*"),
        (
            r"(?:temp\w*|pot|sauce|it) (?:has |had )?(?:cool\w*|drop\w*|fell|fall\w*|went down|got cold\w*)",
            r"(?:while|as|whilst) (?:i |i'm |i was |we |we were |you )?(?:fill\w*|bottl\w+)",
        ),
    ),
    "steam": (
        (
            r"fumes?|steam|vapou?rs?",
            r"cough\w*|chok\w*|hurt\w*|burn\w*|killing|sting\w*|eyes?|lungs?|breath\w*|keep\w*|stop|avoid|safe|sneez\w*",
        ),
    ),
    "hot-sealed": (
        (r"hot", _BOTTLES, r"seal\w*|clos\w+|cap(?:ped|ping)?|lid", r"burst\w*|explod\w*|while|pressure|can i|should"),
    ),
    "cold-glass": (
        (
            r"bottles?|glass",
            r"crack(?:s|ed|ing)|(?:will|do|does|did|can|would|could|might)\b[^.,;]*\bcrack|shatter\w*|thermal shock",
        ),
    ),
    "plastic": ((r"plastic|pet|squeeze", r"bottles?"),),
    "caps": ((r"boil\w*|sterili[sz]\w*|saniti[sz]\w*", r"caps?|lids?"),),
    "low-temperature": ((r"low[- ]*temp(?:erature)?", r"pasteuri\w*|process\w*|bath"),),
    "enough": (
        (r"(?:good|low|sour|acid\w*|safe) enough", r"p\W?h|bottl\w+|reading|sauce"),
        (r"^(?:and |so )?is (?:the|my|its) p\W?h (?:ok|okay|fine|good|alright|all right|low enough)\b",),
    ),
}
"""Words that must all stand in a line for an answer of KNOWN; in KNOWN's order of precedence nothing is left open."""


@lru_cache(maxsize=1)
def _compiled() -> dict[str, tuple[tuple[re.Pattern[str], ...], ...]]:
    """The words as patterns; made when the first line asks, because a cold answer need not wait for them."""
    return {
        name: tuple(tuple(phrase(rf"(?<!\w)(?:{one})(?!\w)") for one in words) for words in ways)
        for name, ways in _ASKED.items()
    }


KITCHEN = (
    "metals",
    "epsom",
    "lite-salt",
    "pink-salt",
    "iodised-salt",
    "by-taste",
    "chilli-burn",
    "no-acid",
    "without-salt",
    "chlorine",
    "keeps",
)
"""What is asked of pots, salt and water; where it is asked, and not where a number is."""

_TOLD = (
    "drift",
    "rising",
    "lumps",
    "splits",
    "last-bottle",
    "steam",
    "cold-glass",
    "chilli-burn",
    "chlorine",
    "metals",
)
"""What is told of and not asked: "the reading drifts", "the gum went lumpy"."""

_WHATEVER = ("turned", "acid-only", "last-bottle", "cold-glass", "keeps")
"""What is answered whatever number stands in the line: no figure makes it right."""

_HEATING = (
    "acid-only",
    "turned",
    "last-bottle",
    "steam",
    "hot-sealed",
    "cold-glass",
    "plastic",
    "caps",
    "low-temperature",
)

_FINISHING = ("colour", "lumps", "splits", "thin-with", "thinner", "juice")
"""What is no question of pH, so that a word of vinegar asks for no dose."""

_NOT_SO = phrase(
    r"\b(?:how much|how many grams|how many ml|vinegar|what was|last ph|ph history|how's the ph)\b|"
    r"\bwhat's the ph$|"
    r"\b(?:hot|warm) (?:sauce|peppers?|chill?i\w*)\b(?=[^?]*\b(?:brine|mash|salt)\b)"
)
"""A dose or the account's own readings are asked for."""
_SAUCE = phrase(r"\bhot (?=sauce|pepper|chil|mash)")

_THIS_GOOD = phrase(
    r"^\W*(?:and |so |but |ok |hey )?(?:is |would |will |it's |its |are )?(?:a |the |my )?(?:p\W?h )?(?:of )?"
    r"(?P<n>\d{1,2}(?:[.,]\d{1,2})?)(?: (?:by|on) (?:a |the )?(?:meter|strip))?"
    r",? (?:is |is that |is it |be )?(?:a )?(?:good|low|sour|acid|acidic|ok|okay|fine|alright|all right|safe|do)"
    r"(?: enough)?\b|"
    r"^\W*(?:and |so |but )?(?:is|am) (?:it|i|that|this) (?:ok|okay|fine|good|good enough|alright|all right) "
    r"(?:at|with) (?:a )?(?:p\W?h )?(?:of )?(?P<m>\d{1,2}(?:[.,]\d{1,2})?)\W*$"
)
"""A pH asked about, not read: "is 4.2 good enough"."""

_SPOKEN = dict(
    zip(("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), range(10), strict=True)
)
_ONE = "|".join(_SPOKEN)
_DIGITS = phrase(rf"\b(?P<a>{_ONE})(?: point)? (?P<b>{_ONE}|oh)(?P<c> (?:{_ONE}|oh))?\b")

_RISEN = phrase(
    r"^\W*(?:it |the reading |that )?was (?:at )?(?P<a>\d[.,]\d{1,2})\b[^\d]{0,40}?\bnow\W+"
    r"(?:it )?(?:is |it's |'s |its |at |reads )*(?P<b>\d[.,]\d{1,2})\W*$"
)
_THEN_ADDED = phrase(
    r"^\W*(?:it was |it's |was |reads? )?(?P<a>\d[.,]\d{1,2})\b,? (?:by meter )?(?:but |and )?"
    r"(?:then|since|after that|but)\b.*\b(?:add|added|put|stirred|blended|mixed|tipped|threw|chucked|poured)\b"
)
_MEAN = phrase(r"\b(?:the )?(?:averag\w+|mean) (?:of |is |out |was )*")
_PLAUSIBLE = (2.0, 7.0)
"""A bare number with a decimal between these can be a sauce's pH."""


def heard(state: State, said: Reading | Misread, today: datetime.date) -> Result | Reading | None:
    """An answer from what is known, the line read as the pH that it is, or None where it is neither."""
    if (told := meaning.asked(state, said)) is not None:
        return told
    if isinstance(said, Reading) and said.act in ("undo", "redo", "cancel", "repeat", "leave", "reset", "help"):
        return None
    if (told := told_after(state, said, today) or salty(state, said)) is not None:
        return told
    text = digits(said)
    acid = re.search(rf"\b(?:{_PH}|strips?)\b", text, re.IGNORECASE) is not None
    sums = any(isinstance(one, Answer) and one.calculator not in ("ph", "batch", NAME) for one in state.said)
    if sums and not acid and re.search(r"\d", text):
        return None  # "why 4.6", "was 3.6 now it's 3.9" after a sum are of the sum
    if (asked := _hypothetical(state, text)) is not None:
        return asked
    if (name := _which(said, text)) is not None:
        return _answered(state, said, today, name)
    return _in_other_words(state, said, text)


_TOO_SALTY = phrase(
    r"\b(?:is|isn't|isnt|was) (?:it|that|this|there|the salt)\b[^.]*\b(?:too|very) (?:much(?: salt)?|salty|strong|"
    r"little(?: salt)?|weak|low)\b|\btoo (?:much|little) salt\W*\?|\b(?:is|will) (?:that|it|this)\b[^.]*\benough salt\b"
)
_STRENGTHS = ("of_total", "of_produce")
"""Salt of what goes in, by which usual strengths are told."""


def salty(state: State, said: Reading | Misread) -> Result | None:
    """ "Is it too much salt?": the strength just worked out, or the open batch's, beside what is usual."""
    if _TOO_SALTY.search(said.text) is None or re.search(r"\d", said.text) or state.mode != "idle":
        return None
    shown = [each for one in state.said if isinstance(one, Answer) for each in one.values if each.name in _STRENGTHS]
    share = measures.convert(shown[0].value, shown[0].unit, "percent") if shown else None
    batch = current(state)
    if share is None and batch is not None and batch.holds.mass > batch.holds.salt > 0:
        share = 100 * SALT_TOTAL(batch.holds)
    if share is None:
        return None
    told = f"Salt is {with_unit(share, 'percent')} of what went in. 2 to 5% is usual, 3% in a mash is common. "
    if share < 2 - 1e-9:
        told += "That is too little: under 2% lets spoilage in before the acid comes. Add salt by weight."
    elif share <= 5 + 1e-9:
        told += "So it is neither too much nor too little; the sauce can be thinned once it reads below 4.6."
    else:
        told += "That is much: it ferments slowly, over 10% hardly, and must be thinned to be eaten."
    return state, (Answer(told, NAME, (Value("usual", share, "percent"),), told), *open_question(state))


def which(said: Reading | Misread) -> str | None:
    """The name of what a line asks that has a short answer here, or None."""
    return _which(said, digits(said))


def digits(said: Reading | Misread) -> str:
    """The line with "four two" as 4.2, where it speaks of pH and nothing else can be meant."""
    low = said.text

    def put(match: re.Match[str]) -> str:
        more = (match["c"] or "").strip()
        tail = "".join("0" if one == "oh" else str(_SPOKEN[one]) for one in (match["b"].lower(), more.lower()) if one)
        return f"{_SPOKEN[match['a'].lower()]}.{tail}"

    acid = re.search(r"\bp\W?h\b|\bmeter\b|\bstrip\b|\benough\b|^\W*why\b", low, re.IGNORECASE)
    return _DIGITS.sub(put, low) if acid else low


def _hypothetical(state: State, text: str) -> Result | None:
    """ "Is 4.2 good enough": judged, and noted nowhere."""
    match = _THIS_GOOD.search(text)
    asks = "?" in text or "enough" in text.lower() or re.match(r"\W*(?:and |so |but )?(?:is|would|will)\b", text, re.I)
    if match is None or not asks or state.mode != "idle":
        return None
    numbers = re.findall(r"\d+(?:[.,]\d+)?", text)
    value = float((match["n"] or match["m"]).replace(",", "."))
    if len(numbers) != 1 or not _PLAUSIBLE[0] <= value <= 9.0:
        return None
    how = "strip" if re.search(r"\bstrip|\bpaper\b", text, re.IGNORECASE) else ""
    judged = judge(Sample(value, how))
    found = " ".join(one for one in (lead(judged), onward(judged)) if one)
    note = Note(
        f'Nothing was noted. If that is a reading, say it by itself: "pH {value:g} by meter, calibrated today".'
    )
    taken = Assume(f"Taken: a pH, good to {judged.off:g}.", "error", judged.off, "pH")
    return state, (Answer(found, "ph", shown(judged), lead(judged)), taken, note)


_DEGREES = phrase(r"\d\s*(?:°|degrees?\b|deg\b|[cf]\b|celsius|fahrenheit)")


def _which(said: Reading | Misread, text: str) -> str | None:
    """The name of what is asked for, or None; never for a line with an amount in it."""
    if isinstance(said, Reading) and said.act == "log" and said.words and any(one.kind == "log" for one in said.words):
        return None
    plain = _SAUCE.sub("", text)
    if isinstance(said, Misread) and said.why == "beyond" and said.term in ("medical", "botulism"):
        return None
    for name in _WHATEVER:
        figures = len(re.findall(r"\d+(?:[.,]\d+)?", plain))
        if name == "keeps" and _DEGREES.search(plain):
            continue  # "how long can I keep it at 80 C" is a hold
        if _hits(plain, name) and (name != "cold-glass" or figures < 1 + _questions(plain)):
            return name
    dose = bool(_NOT_SO.search(plain))
    numbers = re.findall(r"\d+(?:[.,]\d+)?", plain)
    lines = {f"{one:.1f}" for one in LINES} | {f"{one:.2f}" for one in LINES}
    if any(one.replace(",", ".") not in lines for one in numbers) or len(numbers) > 1:
        return None
    spelled = {one.lower() for one in re.findall(r"[A-Za-z]+", plain)} & (NUMBER_WORDS - {"one", "point", "second"})
    if spelled - {"two"} or ("two" in spelled and "average" not in plain and "mean" not in plain):
        return None
    if isinstance(said, Reading) and any(one.unit and (one.unit, one.value) != ("meter", 1) for one in said.amounts):
        return None
    told = isinstance(said, Reading) and not said.question and bool(deeds_of(said))
    for name in _compiled():
        whys = name in ("limit", "unheated", "aim")
        if numbers and not whys:
            continue
        if told and name not in ("mouldy", "lumps", "splits", *_HEATING, "chilli-burn"):
            continue
        if dose and name not in (*_FINISHING, *_HEATING, *KITCHEN):
            continue
        if _hits(plain, name):
            return name
    return None


def _hits(text: str, name: str) -> bool:
    """Whether a line holds all the words of one way to ask for an answer, and asks (or is a complaint of _TOLD)."""
    told = name in _TOLD or _questions(text)
    return any(
        all(one.search(text) for one in words) and (told or len(words) == 1)  # "cold hold" says enough by itself
        for words in _compiled()[name]
    )


_QUESTION = phrase(
    r"\?|^\W*(?:and |so |but |ok |hey |um )*(?:what|which|when|why|how|can|could|do|does|did|is|are|will|would|should|"
    r"must|where|good enough|read|any|strips?)\b|"
    r"\b(?:do i|can i|should i|what about|how about|how many|how come|is it|is the|does)\b"
)


def _questions(text: str) -> bool:
    """Whether a line asks."""
    return _QUESTION.search(text) is not None


def _answered(state: State, said: Reading | Misread, today: datetime.date, name: str) -> Result:
    """The answer; whether the pH is good enough is asked of the last reading, if there is one."""
    if name == "enough":
        batch = current(state)
        if batch is not None and batch.ph:
            plain = said if isinstance(said, Reading) else Reading(said.text, "ask")
            after, replies = about(state, plain, today, "last-ph")
            return after, (*replies, *open_question(state))
        last = {one.name: one.value for one in state.kept if one.name in ("ph", OFF)}
        if len(last) == 2:
            judged = judge(Sample(last["ph"], said=last[OFF]))
            note = Note(f"That is the pH {last['ph']:g} that you said before.")
            return state, (answer(judged, [last["ph"]]), note, *open_question(state))
    one = known(name)
    unused = (Note(_UNUSED),) if name in _WHATEVER and re.search(r"\d", said.text) else ()
    return state, (Answer(one.says, NAME, (), one.says), *unused, *open_question(state))


_UNUSED = "No number of that line was used, and nothing was noted."


def _in_other_words(state: State, said: Reading | Misread, text: str) -> Result | Reading | None:
    """A pH reading that does not say so: "was 3.6 now it's 3.9", "average of 3.8 and 4.4", "pH three eight"."""
    if state.mode != "idle":
        return None
    if isinstance(said, Misread) and said.why == "number" and text != said.text:
        again = read(text)
        return None if isinstance(again, Misread) else again
    for pattern in (_RISEN, _THEN_ADDED):
        match = pattern.search(text)
        values = [float(one.replace(",", ".")) for one in match.groups() if one] if match else []
        if not values or not all(_PLAUSIBLE[0] <= one <= _PLAUSIBLE[1] for one in values):
            continue
        if pattern is _THEN_ADDED and len(re.findall(r"\d+(?:[.,]\d+)?", text)) > 1:
            return None
        again = read(f"pH {text}")
        if isinstance(again, Misread):
            return None
        bare = [one for amount in again.amounts for one in (amount, *amount.rivals) if not one.unit]
        mine = [one for one in bare if any(abs(one.value - each) < 1e-9 for each in values)]
        if len(mine) < len(values):
            return None
        worst = max(mine, key=lambda one: one.value)
        judged = judge(sample.sample(again, worst))
        note = Note('I took that as pH, and entered nothing. Say it so to note it: "pH 3.9 by meter".')
        return state, (answer(judged, [one.value for one in mine]), note)
    if (match := _MEAN.search(text)) is not None and not re.search(r"%|\b(?:kg|g|percent|litres?|l)\b", text):
        again = read(f"pH {_MEAN.sub('', text)}")
        if isinstance(again, Misread) or not _several(again):
            return None
        mine = [one for amount in again.amounts for one in (amount, *amount.rivals)]
        worst = max(mine, key=lambda one: one.value)
        judged = judge(sample.sample(again, worst))
        note = Note("An average of pH readings is the pH of nothing, so none was taken, and nothing was noted.")
        return state, (answer(judged, sorted((one.value for one in mine), reverse=True)), note)
    return None


def _several(again: Reading) -> bool:
    """Whether a line holds two pH values or more, and nothing else."""
    found: list[Amount] = [one for amount in again.amounts for one in (amount, *amount.rivals)]
    plain = all(not one.unit and 0 <= one.value <= 14 and not names_batch(again, one) for one in found)
    return plain and len(found) > 1


def why(said: tuple[Reply, ...]) -> list[Reply]:
    """What the last answer about pH rests on; nothing if there was none."""
    for one in said:
        if isinstance(one, Answer) and {"ph", "error"} <= {each.name for each in one.values}:
            return reasons_of(one)
        if isinstance(one, Answer) and one.calculator == NAME and [each.name for each in one.values] == ["usual"]:
            return [Why("2% is the floor of guidance, 2 to 5% what makers use.", source=str(FDA_KRAUT))]
        if isinstance(one, Answer) and one.calculator == NAME:
            found = next((each for each in KNOWN if each.says == one.text), None)
            if found is not None:
                return [Why("That rests on this.", source="; ".join(str(each) for each in found.sources))]
    return []
