"""What is known about pH and its measuring, and of finishing, as data: short answers, each with its source.

None of them is about a number that was read; that is for ``verdict.py``.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.declare import PRACTICE, Source
from assistant.rules.heat import SHOCK, SOFTENS, TESTED
from assistant.rules.salt import GUIDANCE, IODISED, PH_LIMIT, PH_METER, PH_UNHEATED
from assistant.rules.verdict import AIM, UNHEATED
from assistant.rules.watch import BUFFERS, EDGE, EQUILIBRIUM, GROWTH, METER, METER_ERROR, STRIP_ERROR, STRIPS


@dataclass(frozen=True)
class Known:
    """One answer.

    Attributes:
        says: the answer, its first words the gist.
        sources: what it rests on.
        asks: lines that must bring it.
    """

    name: str
    says: str
    sources: tuple[Source, ...]
    asks: tuple[str, ...]


SPORES = Source("FDA Fish and Fishery Products Hazards guide, App. 4: C. botulinum does not grow below 4.6", seen=False)
LIDS = Source(
    "Univ. Wisconsin Extension, hot-fill-hold for acidified foods: invert briefly to treat headspace and lid; "
    "USDA/NCHFP reject inversion as a canning method (from memory); three minutes is common practice, no source"
)
ACETIC_HOLD = Source(
    "Breidt, Hayes and McFeeters 2007, J. Food Prot. 70(11):2638-2641: pH 3.3 or below with acetic acid as main acid"
)
PEPPERS = Source("USDA/NCHFP pepper pages: gloves, hands off the eyes, air", seen=False)
SURVIVES = Source("Glass et al. 1992, AEM 58:2513: E. coli O157:H7 outlives acid that stops its growth")
METALS = Source("acid and salt dissolve iron, zinc, copper and aluminium: general food safety", seen=False)
COPPER = Source("FDA Food Code 4-101.14 to .15: no copper, brass or galvanised metal for food under pH 6", seen=False)
UNDER_BRINE = Source("NCHFP: do not reduce the salt of a fermented vegetable", seen=False)
BOTULISM = Source("CDC, home canned food: botulinum toxin cannot be seen, smelled or tasted", seen=False)
CHLORAMINE = Source(
    "chlorine leaves standing or boiled water, chloramine does not: water suppliers' advice", seen=False
)
CARE = Source("common practice, no source: care of a pH probe")

KNOWN: tuple[Known, ...] = (
    Known(
        "need",
        f"Below {PH_LIMIT} is a must, {PH_METER:.1f} or lower the aim, on a meter calibrated that day; sauce that is "
        f"not heated needs {PH_UNHEATED}. Then heat it or keep it cold: yeast lives on at any of these.",
        (EDGE, UNHEATED, AIM),
        ("what pH do I need", "how low should the ph be", "which pH should I aim for?"),
    ),
    Known(
        "limit",
        f"At {PH_LIMIT} and below the spores of botulism do not grow out. It says nothing of yeast, mould or "
        "acid-tolerant E. coli, so heat or the fridge comes on top; and it is a limit, not an aim.",
        (SPORES, EDGE, SURVIVES),
        ("why 4.6", "why four six?", "what's so special about 4.6", "why is the pH limit what it is"),
    ),
    Known(
        "unheated",
        f"{PH_UNHEATED} is the line for sauce that is not heated: no heat has killed anything, so the acid must hold "
        f"back more. Heated and then packed, {PH_LIMIT} is the line.",
        (UNHEATED,),
        ("why 4.2", "why is it 4.2 for raw sauce"),
    ),
    Known(
        "aim",
        f"Above {PH_METER:.1f} only a meter counts, and a meter may be {METER_ERROR} off: from {PH_METER:.1f} down "
        f"there is room to {PH_LIMIT}. As an aim it is practice; the meter above it is the rule.",
        (AIM,),
        ("why 4.0", "why aim for 4.0"),
    ),
    Known(
        "cool",
        "Cool a sample to about 25 C (77 F) first. Temperature compensation corrects the probe, not the sauce; 20 to "
        "30 C will do.",
        (Source("21 CFR 114.90(a)(4): measure at 20 to 30 C", seen=False),),
        ("read it hot?", "can I measure the pH while it's hot", "do I have to cool it before I read the ph"),
    ),
    Known(
        "wait",
        "24 hours after the last thing that went in, on a blended sample at about 25 C: until then the pieces give up "
        "their juice and the pH can rise. A week later once more: within 0.1 it stands still.",
        (EQUILIBRIUM,),
        ("when do I measure the pH", "how long after blending should I read it?"),
    ),
    Known(
        "strips",
        f"Up to pH {PH_METER:.1f} the US rule takes any suitable method; above it only a meter. A strip may be "
        f"{STRIP_ERROR} off and red sauce tints it, so own a meter and keep a log. Whether you may sell, the local "
        "authority says.",
        (METER, STRIPS),
        ("strips ok if I'm selling?", "can I use strips", "are pH strips good enough?"),
    ),
    Known(
        "bottles",
        "Three at the least: from the start, the middle and the end of each batch, each blended whole, and the highest "
        "counts. Keep two bottles back and write it all down. A process authority may ask for more.",
        (PRACTICE,),
        ("how many bottles do I test", "how many jars should I check the pH of?"),
    ),
    Known(
        "drift",
        "Clean the probe of oil and protein, rinse, stir, and wait until it stands still. Keep it in storage solution, "
        "never in water. Calibrate in fresh buffers; if the slope stays under 85%, replace it. Until then its number "
        "is void.",
        (CARE,),
        ("the reading drifts", "drifts all over", "my meter won't settle"),
    ),
    Known(
        "storing",
        "In storage solution, tip always wet, never in water: water draws it out. Dry: soak it in storage solution "
        "overnight, then calibrate.",
        (CARE,),
        ("how do I store the probe", "can I keep the pH probe in water?"),
    ),
    Known(
        "calibrating",
        "Every day you use it, in two fresh buffers, 4.01 and 7.00, at the sauce's temperature; then read 4.01 again: "
        'within 0.05. Say the millivolts, for example "-15 mV in pH 7 and 160 mV in pH 4", and I judge the probe.',
        (BUFFERS,),
        ("how often do I calibrate", "how do I calibrate the meter"),
    ),
    Known(
        "rising",
        "Look at it: a film or mould eats acid, and pieces can still give up their juice. Measure top and bottom of a "
        "stirred and a blended sample with a meter calibrated today; the higher one counts. Not below 4.6 any more: do "
        "not taste it, bin it.",
        (GROWTH, EQUILIBRIUM),
        ("my pH is creeping up", "why does the pH keep climbing"),
    ),
    Known(
        "gum",
        "Little: gum is no acid and no base. It slows the reading, so wait longer until it stands still, and rinse the "
        "probe well.",
        (PRACTICE,),
        ("does the gum mess with the reading", "will xanthan change the pH?"),
    ),
    Known(
        "mouldy",
        "Measure top and bottom: growth eats acid, so the pH climbs where it was, the higher one counts, and a reading "
        "from before it is void. Given away or sold, or if it was fuzzy or coloured: bin it, whatever the pH.",
        (GROWTH, PRACTICE),
        ("was mouldy last month, skimmed it, pH?", "there was mold on top, what about the pH"),
    ),
    Known(
        "average",
        "The highest counts: pH is a logarithm, and an average of two readings is the pH of nothing. Blend it, and "
        "read again until they agree.",
        (EQUILIBRIUM, PRACTICE),
        ("can I average the pH readings", "do I take the mean of two pH readings?"),
    ),
    Known(
        "added",
        "What is fresh, low in acid or sweet (garlic, carrot, onion, raw peppers, fruit, puree, much water) voids the "
        "reading before it: blend, wait 24 hours, read again, and keep it cold until then.",
        (GUIDANCE, EQUILIBRIUM),
        ("does adding garlic change the pH", "will mango raise the pH?"),
    ),
    Known(
        "enough",
        f"By its reading with the meter's error added: under {PH_LIMIT} proves the limit, under {PH_UNHEATED} a sauce "
        f'that is not heated, under {PH_METER:.1f} the aim. Say what it reads: "pH 3.9 by meter, calibrated today".',
        (EDGE, UNHEATED, AIM),
        ("is the pH good enough?", "good enough to bottle?"),
    ),
    Known(
        "colour",
        "Less air, a quick fill, dark, cold and acid keep it red. Ascorbic acid at about 0.5 to 1 g per kg is "
        "practice; a brown sauce is no spoilt one.",
        (PRACTICE,),
        ("how does it stay red", "how do I keep the colour", "will it go brown?"),
    ),
    Known(
        "lumps",
        "Mix the gum dry with the salt or sugar, or as a slurry in a little vinegar, and run it in under the blender. "
        "Lumps that are there: wait half an hour, blend again, sieve.",
        (PRACTICE,),
        ("how do I get rid of the gum lumps", "why is the xanthan lumpy", "the gum went lumpy"),
    ),
    Known(
        "splits",
        "That is looks, not spoilage: blend finer, stir in 0.1 to 0.2% of gum, or shake the bottle.",
        (PRACTICE,),
        ("why does it split in the fridge", "it separates in the bottle", "how do I stop it separating"),
    ),
    Known(
        "thin-with",
        "Brine keeps the salt; water lowers it, barely moves the pH and thins the buffer; vinegar lowers the salt and "
        "the pH. Then read the pH a day later.",
        (PRACTICE,),
        ("water or brine to thin it?", "should I thin it with brine or vinegar", "do I thin it with water or vinegar"),
    ),
    Known(
        "thinner",
        "The pods' own water, how hard it was strained, how long the gum had and how old it is: compare the weights of "
        "both batches, and the gum by weight.",
        (PRACTICE,),
        ("why is it thinner than last time", "why's this one runnier than the last"),
    ),
    Known(
        "juice",
        "Fruit differs from fruit, so no number of limes is an acid: use bottled juice or weigh citric acid, try it on "
        "100 g, and measure.",
        (Source("FDA, approximate pH of foods (2003): lime juice 2.00 to 2.35, lemon juice 2.00 to 2.60"), PRACTICE),
        ("can I use lime juice instead of vinegar", "are limes ok for the acid?", "lemon instead of vinegar?"),
    ),
    Known(
        "metals",
        "No, not for anything sour or salty: aluminium, copper, brass, iron and galvanised (zinc) metal dissolve in "
        "it, and zinc and copper make people ill. Glass, glazed crocks without lead, food-grade plastic, sound enamel "
        "or stainless steel. A metal lid rusts from beneath: put plastic or glass between, or take a plastic lid. What "
        "has stood in such metal and tastes of it: throw it out.",
        (COPPER, METALS, PRACTICE),
        (
            "can I use an aluminium pot",
            "can I ferment in a galvanised bucket?",
            "is a copper pan ok for the brine",
            "is a metal lid alright with the brine",
        ),
    ),
    Known(
        "epsom",
        "No: Epsom salt is magnesium sulphate and no table salt. It is bitter, it works as a laxative, and it holds "
        "back nothing. What it went into: throw it out. Take plain salt (sodium chloride), weighed.",
        (PRACTICE,),
        ("can I use epsom salt", "is Epsom salts ok instead of sea salt"),
    ),
    Known(
        "lite-salt",
        "No: a good part of lite or low-sodium salt is potassium chloride. The published strengths are of plain salt, "
        "so with less of it they prove nothing, and it turns bitter. Take plain salt, weighed.",
        (IODISED, UNDER_BRINE),
        ("can I use lite salt", "is low sodium salt ok?", "can I use potassium chloride"),
    ),
    Known(
        "pink-salt",
        "Yes, by weight: pink or Himalayan salt is plain salt with a little iron and lime, which may cloud the brine. "
        "Never by the spoon: its grains differ. Curing salt is pink too and is another thing: it holds nitrite, never "
        "use it here.",
        (PRACTICE,),
        ("is himalayan salt ok", "can I use pink salt?", "does it have to be sea salt or is himalayan fine"),
    ),
    Known(
        "iodised-salt",
        "Yes, by weight: iodised table salt ferments too. It may cloud the brine, and so does what keeps it from "
        "caking; pickling or sea salt without additives is clearer.",
        (IODISED, PRACTICE),
        ("can I use iodized table salt", "is iodised salt ok?", "does the salt have to be non-iodised"),
    ),
    Known(
        "by-taste",
        "No. Neither taste nor smell nor looks tell of botulism or of E. coli: what is dangerous can taste of nothing. "
        "A meter shows it: below pH 4.6, the meter's error added, before anybody tastes.",
        (BOTULISM, EDGE),
        ("tastes fine so it's safe right?", "it smells good, does that mean it is ok?", "if it tastes ok is it safe"),
    ),
    Known(
        "chilli-burn",
        "Eyes: rinse with plenty of cool water for a quarter of an hour, lenses out, do not rub; see a doctor if pain "
        "or blurred sight stays. Hands: wash with oil, then with washing-up liquid, then soak in cold milk or yoghurt; "
        "no hot water. Blisters, or trouble with breathing: a doctor. Next time gloves, and hands off the face.",
        (PEPPERS, PRACTICE),
        (
            "my eyes burn from the chilli",
            "my hands are burning from the peppers",
            "pepper juice on my face and it stings",
            "how do I stop my hands burning after chopping chillies",
        ),
    ),
    Known(
        "no-acid",
        "No: honey, sugar and sweet fruit are no acid, and honey can raise the pH of a sauce. No published process "
        "rests on them. Take vinegar of a strength on its label, bottled lemon juice or citric acid, tried on 100 g, "
        "and read the pH a day later. The meter counts, not the recipe.",
        (EQUILIBRIUM, PRACTICE),
        ("can I use honey instead of vinegar", "will honey do in place of the acid?"),
    ),
    Known(
        "without-salt",
        "No. In the first days the salt alone holds back what spoils and what poisons, until the acid is there: 2% of "
        "produce and water at the least, 3% in a mash. Less salt is for later: ferment with it, and thin the sauce "
        "once it reads below 4.6.",
        (UNDER_BRINE, GUIDANCE),
        ("can I leave the salt out", "can I ferment without salt?", "do I have to use salt", "can I skip the salt"),
    ),
    Known(
        "chlorine",
        "Let it stand open overnight, or boil it and cool it: chlorine goes. Chloramine, which many waterworks use, "
        "does not: ask yours, and take filtered or bottled water if so. Tap water that is fit to drink slows a ferment "
        "a little and rarely stops it.",
        (CHLORAMINE, PRACTICE),
        ("my tap water smells of chlorine", "does chlorine in the water matter?", "what about chloramine"),
    ),
    Known(
        "keeps",
        "By how it was proven, not by the calendar: below pH 4.6 by meter and heated by its pH, closed: months in the "
        "dark, as practice has it; once open in the fridge. Not heated: in the fridge, pH 4.2 or below. No date is "
        "proven by a sum: for anything sold a process authority sets it. Fizz, swelling, mould or a bad smell: out.",
        (UNHEATED, EDGE, PRACTICE),
        ("how long does it keep", "how long will the sauce keep?", "how long does it last in the fridge"),
    ),
    Known(
        "acid-only",
        "Acid without heat does not do for a sauce that only its ferment soured: the published holds, days at pH 3.3 "
        "and below, rest on acetic acid as the main acid, and lactic acid has no such table. Heat it, or keep it in "
        "the fridge for good. For one that is mostly vinegar a process authority sets the days, and cold makes them "
        "longer.",
        (ACETIC_HOLD, SURVIVES),
        (
            "can I just leave it acid for a week instead of heating",
            "cold hold",
            "is acid enough without heating it?",
            "can I cold fill and hold it for six days",
            "do I need to heat it if it's sour enough",
            "pH 3.2, no need to heat right?",
        ),
    ),
    Known(
        "turned",
        "Not to seal or to make up for heat: extension services reject turning jars over as a method, for it keeps no "
        "seal and heats nothing that was too cold. Makers with an approved hot-fill-hold turn each bottle over "
        "briefly, so that the hot sauce treats cap and headspace, about 3 minutes at 82 C (180 F) or more; then "
        "upright. So: only on top of a full hold, with caps made for it, closed hot, a cloth in the hand.",
        (LIDS,),
        (
            "should I turn the bottles over",
            "how long upside down",
            "is flipping the jars even safe",
            "do I need to invert them",
        ),
    ),
    Known(
        "last-bottle",
        "Reheat the pot over its mark before you go on. The bottles filled since it fell are marked, and heated again "
        "or kept cold: the lowest temperature counts, and the last bottles fail first. Keep the pot on the heat, "
        "covered and stirred, fill in small lots, and measure in the last bottle.",
        (PRACTICE,),
        (
            "the pot cooled down while I was filling",
            "what about the last bottles of the run?",
            "temp dropped to seventy while I was filling",
        ),
    ),
    Known(
        "steam",
        "Out of the steam: heat off, windows open, everyone out of the room. Then a lid on, the lowest heat, outside "
        "or under a hood, no face over the pot or the blender, gloves and goggles. Rinse eyes long with water. Trouble "
        "breathing: fresh air and a doctor.",
        (PEPPERS, PRACTICE),
        (
            "the fumes are making us cough",
            "the steam from the peppers hurts",
            "how do I keep the fumes down when I cook it",
        ),
    ),
    Known(
        "hot-sealed",
        "A bottle closed hot draws a vacuum as it cools and does not burst from that. It is heating a full, tight "
        "bottle, or a live sauce in it, that presses: leave 6 to 12 mm free, never put a cold tight bottle in hot "
        "water or a hot one on a cold bench, and open a swollen one cold, under a cloth, away from the face.",
        (PRACTICE,),
        ("will a hot bottle burst when I seal it", "can I close the bottles while they're hot?"),
    ),
    Known(
        "cold-glass",
        "Keep glass within about 40 C (72 F) of the sauce: warm the bottles in hot water or a low oven first, set them "
        "on wood or a cloth, and do not reuse chipped ones.",
        (SHOCK,),
        ("will the glass crack", "why did the bottle crack", "how do I stop the bottles cracking"),
    ),
    Known(
        "plastic",
        "Ordinary squeeze bottles soften and shrink at hot-fill heat: take hot-fill grade, or fill cold and keep it in "
        "the fridge.",
        (SOFTENS,),
        ("can you use plastic bottles for hot sauce", "are squeeze bottles ok?"),
    ),
    Known(
        "caps",
        "No: lined caps warp when boiled. Wash them, sanitise them no-rinse or as their maker says, and let the hot "
        "sauce treat the inside. New lids each time.",
        (PRACTICE,),
        ("do I boil the caps", "should I sterilise the lids"),
    ),
    Known(
        "low-temperature",
        "Only where a tested recipe says so: closed jars for 30 minutes in water at 180 to 185 F (82 to 85 C), by a "
        "thermometer all through, an inch over the lids. No home recipe is tested for a fermented pepper sauce: heat "
        "and hold it by its pH, or keep it cold.",
        (TESTED,),
        ("can I use low temperature pasteurization", "is low-temp pasteurising ok for this?"),
    ),
)
"""All of them; where two would do, the earlier one answers."""


def known(name: str) -> Known:
    """The answer of that name.

    Raises:
        KeyError: there is none.
    """
    for one in KNOWN:
        if one.name == name:
            return one
    raise KeyError(name)
