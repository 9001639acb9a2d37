"""The words of ingredient lines: which of them say nothing about which food it is.

Common practice, no source, for all of it.
"""

from __future__ import annotations

from models.words.names import split


def _set(words: str) -> frozenset[str]:
    return frozenset(split(words))


NOTHING = _set(
    # how it is cut and cleaned
    "chopped sliced diced minced crushed grated shredded cut torn halved quartered cubed julienned "
    "julienne trimmed cleaned washed rinsed scrubbed cored deseeded seeded stoned pitted deveined "
    "shelled podded picked bashed bruised broken crumbled flaked slivered shaved snipped segmented "
    "peeled unpeeled smashed cracked pressed zested juiced sifted removed stem stemmed stalked "
    "rindless boned scaled filleted gutted cleaned deboned spatchcocked debearded bearded beard "
    "skinned separated divided reserved beaten squeezed sieved strained topped tailed pulled "
    "mashed pureed puréed pulverised melted softened soft whipped whisked warmed heated thawed "
    "defrosted coddled butterflied tied milled refrigerated scored crosswise lengthwise "
    "lengthways ribbon matchstick batons rounds stripped "
    # how good, how big, how kept, where from
    "fine rough coarse thin thick long short slim young local homemade "
    "bought store shop ready made prepared plump firm chilled cool "
    "cooled room temperature generous scant assorted favourite favorite your such as "
    "like possible preferably about any few little more extra additional some each other "
    "small medium large big tiny jumbo mini individual size sized bite very good quality best high "
    "decent nice ripe underripe range freerange organic whole local "
    "heirloom heritage line-caught caught farmed responsibly sourced sustainable "
    "handmade thick-cut natural pure crisp inner outer tender unwaxed waxed unbleached flavorful "
    "flavourful fruity hearty neutral kosher flaky part loose stale full "
    "edible boneless lean unsmoked shaped "
    "unrefined slightly wide "
    "regular standard classic basic luxury finest fast quick easy wet scraped pared dug "
    "spiralised spiralized ribboned prepped premium supermarket wonky imperfect flattened pounded "
    "tenderised tenderized unmarinated juicy skinny runny undrained pocketless "
    "slurry log pre pan tasty proper melting "
    "cloudy imported shucked hulled husked deribbed blitzed blended pulsed spun wiped brushed "
    "dusted split frenched trussed plucked jointed portioned skewered rehydrated "
    "reconstituted activated homegrown allotment excellent superior authentic traditional "
    "rustic farmhouse biodynamic unsprayed untreated crusty chewy largish biggish smallish "
    "teeny chubby slender giant colossal tough mature zesty floral delicate succulent "
    "moist stringless beardless untrimmed meaty marbled gutsy various slab "
    "clothbound crustless muddy value budget "
    # measures that stand again in the name
    "piece chunk cube wedge strip strand thread bunch handful pinch knob splash inch cm mm gm "
    "bottle jar packet package pack carton tub bag box punnet container weight total approximately "
    # small words
    "of the a an at and with without into for to in from by or if required needed desired see "
    "note notes above below recipe headnote follows optional possible available online using used "
    "plus s t n packed shaped torn cup but seedless unseasoned"
)
SORTS = _set(
    "long short thick thin whole natural fine coarse small large lean pure soft sour mixed"
)
"""Words that may tell one food of a release from another, however little they say of ours."""
SAYS_NOTHING = (
    r"\b(free[ -]?range|\w+-fed|bone[ -]in|on the bone|store[ -]bought|ready[ -]made|home[ -]made|"
    r"new[ -]season|line[ -]caught|day[ -]old|good[ -]quality|ready[ -]rolled|"
    r"double[ -]concentrated|fat (?=garlic|cloves?)|skin (on|off)|shells?[ -]on|"
    r"(pin[ -])?boned([ -]out)?( (and|&) rolled)?|part[ -]baked|un-?baked|deep[ -]dish|"
    r"(hand[ -]dived|diver[ -]caught|diver)(?= scallops?)|day[ -]?boat|\w+[ -]grade|"
    r"(ice|fridge|stone)[ -]cold|french[ -]trimmed|(just|super|tree)[ -](ripe|picked|ripened)|"
    r"well[ -](stirred|shaken|chilled|scrubbed|washed|rinsed|drained|dried|marbled|hung)|"
    r"home[ -]grown|(multi|tri|mixed)[ -]?colou?r(s|ed)?|"
    r"in[ -]season|(new|early)[ -](crop|season)|first[ -]press(ed)?|(top|best|finest)[ -]quality|"
    r"\w+[ -]caught|(vacuum|salt|dry)[ -]packed|left[ -]over|(\w+[ -])?day[ -]old|full[ -]fat|"
    r"(egg|walnut|tennis[ -]ball|thumb|matchbox|apple|plum|cherry)[ -]sized?|(wafer|paper)[ -]thin|"
    r"in (the|their) shells?|quick[ -]cook(ing)?|rind[ -]on|"
    r"(fine|medium|coarse)(ly)?[ -](grind|ground|milled)|"
    r"\w+[ -](raised|reared)|single[ -]origin|stone[ -]?ground|barista|artisan(al)?|"
    r"vintage|bulk(?= \w)|"
    r"bite[ -]size[d]?|skin[ -]on|dry[ -]cured|"
    r"oak[ -]smoked|oven[ -]ready|ready[ -]to[ -](use|bake|cook|roll)|"
    r"shop[ -]bought|"
    r"(cent(re|er)|hand|roll|bias|rough|thin|thinly|thick|chunky|diagonally|machine)[ -]cut|"
    r"pre[ -]?(cut|chopped|sliced|washed|peeled|shredded)|minced twice|higher[ -]welfare|"
    r"\w+[ -](certified|approved|assured)|(antibiotic|hormone|cage|pesticide|additive)[ -]free|"
    r"air[ -]chilled|(\d+[ -]day[ -])?(dry[ -])?aged|(heads?|tails?)[ -](on|off|end)|headless|"
    r"(equal|even|similar|fist|finger|golf[ -]ball|good|decent)(ly)?[ -]sized?|on the vine|"
    r"over[ -]?ripe|super[ -]fresh|par[ -]?boiled(?= (new |baby )?(potato|carrot|parsnip))|"
    r"farm[ -]shop|farmers'?[ -]market|"
    r"no[ -](need[ -]to[ -])?soak|no[ -]boil)\b"
)
"""Phrases that are left out as a whole: "free-range" says nothing, "free" does."""
STATES: dict[str, str] = {
    word: state
    for state, words in {
        "dried": "dried dry freeze-dried dehydrated",
        "tinned": "tinned canned can tin jarred",
        "frozen": "frozen",
        "cooked": "cooked boiled steamed poached pre-cooked precooked simmered braised stewed",
        "roast": "roasted roast baked grilled chargrilled griddled toasted",
        "fried": "fried sauteed sautéed deep-fried",
        "raw": "raw uncooked",
        "fresh": "fresh freshly",
        "smoked": "smoked",
        "pickled": "pickled",
        "ground": "ground powdered",
        "salted": "salted",
        "unsalted": "unsalted",
        "skinless": "skinless",
        "drained": "drained",
        "sweetened": "sweetened",
        "unsweetened": "unsweetened",
        "blanched": "blanched",
        "hot": "hot warm cold boiling lukewarm tepid scalded",
    }.items()
    for word in split(words)
}
PASSING = frozenset({"fresh", "frozen", "raw", "drained", "blanched"})
"""States that pass: left out before those that say which sort it is (unsalted, skinless)."""
HARD = frozenset({"dried", "tinned", "cooked", "roast", "fried", "smoked", "pickled", "sweetened"})
"""States that a food has to have when the line says so; the others may be left unsaid."""
AGREES: dict[str, frozenset[str]] = {
    "dried": _set("dry dried semi-dried powder powdered"),
    "tinned": _set("tinned jarred canned"),
    "cooked": _set("cooked boiled roast baked stewed grilled braised steamed poached prepared"),
    "roast": _set("roast roasted baked grilled toasted cooked"),
    "fried": _set("fried"),
    "smoked": _set("smoked hot-smoked"),
    "pickled": _set("pickled brine pickle"),
    "sweetened": _set("sweetened sweet syrup candied condensed"),
}
"""Words in the name or the state of a food that meet a hard state."""
PORTIONS = _set(
    "leaf leaves fillet stick stalk kernel pod sprig clove root half chunk trimming slice stem "
    "sheet strand floret head bulb steak piece heart cap wedge crown spear tip frond top needle "
    "rasher rib filet portion meat flesh bits rib bulbs strip end cube ear medallion "
    "twist wheel link leg thigh breast haunch saddle joint tail claw tentacle supreme escalope"
)
"""Words for the part of it that is used: dropped where nothing is called by them."""
OTHER_PLANT = frozenset(
    frozenset(split(pair))
    for pair in (
        *("lime leaf", "curry leaf", "vine leaf", "fig leaf", "banana leaf", "fenugreek leaf"),
        *("coriander root", "celery root", "mustard leaf", "beet leaf", "lettuce heart"),
        *("palm heart", "artichoke heart", "grape leaf", "chicken heart", "lamb heart"),
        *(
            "tea leaf",
            "chilli leaf",
            "rhubarb leaf",
            "wonton sheet",
            "lamb rib",
            "beef rib",
            "pork rib",
            "apricot kernel",
            "peach kernel",
        ),
    )
)
"""Parts that are no part of the food they are named after."""
BLOCKING = (
    r"\b(vegan|vegetarian|meatless|plant[ -]based|mock|imitation|substitute|alternative|replacer|"
    r"fake|nonfat|lowfat|(low|reduced)[ -]fat|(meat|dairy|egg|gluten|fat|sugar)[ -]free|flavou?red|"
    r"infused|style|impossible|beyond|seitan|violife|daiya|gardein|tofurky|oatly|alpro|"
    r"lactose[ -]free|lactofree)\b"
)
"""What changes the food: never dropped."""
KINDS = _set(
    "italian french spanish greek turkish mexican asian thai chinese japanese indian english "
    "irish scottish british american dutch danish german belgian swiss moroccan lebanese syrian "
    "cornish yorkshire somerset sicilian tuscan welsh persian korean vietnamese european kalamata "
    "norwegian icelandic scotch angus aberdeen wagyu pastured campari sungold hothouse garden "
    "seasonal bio estima rooster nicola vivaldi wilja creamer petite starchy chipping roscoff "
    "robust peppery farm vermont country west "
    "seville purple yellow chunky crunchy bunched brined halal butcher's unfiltered finishing "
    "stewing braising frying roasting poaching cooking drinking eating pickling everyday bakery "
    "montgomery california florida alaskan atlantic pacific mediterranean middle eastern black "
    "mission genoese eureka fairtrade "
    "virgin crude flavoursome vine-ripened ripened sun-ripened rainbow multi-coloured "
    "multi-colored wild golden baby curly flat smooth floury waxy bitter jumbo early "
    "winter summer autumn spring unblanched live mixed leftover spot domestic luxury "
    "mild rich strong walla vidalia maui castelvetrano nicoise "
    "picholine manzanilla cerignola"
)
"""Where it is from and of which variety: dropped last, and said."""
OTHER_FOOD = frozenset(
    frozenset(split(pair))
    for pair in (
        *("welsh rabbit", "spring roll", "bitter almond", "summer roll", "scotch egg"),
        *("scotch broth", "coffee creamer", "irish coffee", "vietnamese coffee", "thai tea"),
        *("french toast", "danish pastry", "spanish omelette", "turkish egg", "welsh cake"),
        *("mexican rice", "spanish rice", "persian rice", "mexican corn", "greek pasta"),
        *("greek salad", "nicoise salad", "thai salad", "asian salad", "tuscan salad"),
        *("indian five spice", "rich tea"),
        *("turkish salad", "moroccan salad", "lebanese salad", "mexican salad", "indian bread"),
    )
)
"""A kind and a food that together are another food: bitter almonds are poisonous, and a Scotch egg
is wrapped in pork."""


_NO_ADVERBS = frozenset({"jelly", "belly", "caerphilly", "holy", "curly", "prickly"})


def is_adverb(word: str) -> bool:
    """Tell whether a word says how something is done: finely, but not jelly.

    Parameters
    ----------
    word
        One word.

    Returns
    -------
    True for a word in "ly" of five letters or more that names no food.

    Examples
    --------
    >>> is_adverb("finely"), is_adverb("jelly")
    (True, False)
    """
    return word.endswith("ly") and len(word) > 4 and word not in _NO_ADVERBS
