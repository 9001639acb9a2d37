"""What the food tables know of one food, written down with its sources."""

from __future__ import annotations

from models.answers.food import FoodAmount, FoodCaution, FoodFile, Kept, Life
from models.foods.digested import digested
from models.foods.families import narrowest
from models.foods.food import Food
from models.foods.licence import OGL
from models.foods.storage import Keeping, Storage, cautions, storage
from models.words.allergens import us_nine
from models.words.nutrients import NUTRIENTS


def known_of(food: Food) -> FoodFile:
    """Write down what is known of a food.

    Parameters
    ----------
    food
        A food of the program's table or of the user's own.

    Returns
    -------
    FoodFile
        Figures in 100 g with units, measures in grams, allergens, families, storage, sources.

    Examples
    --------
    >>> from models.foods.food import find
    >>> known_of(find("leeks")).name == find("leeks").name
    True
    """
    kept = storage().get(food.storage)
    families = food.families
    known = digested(food)
    return FoodFile(
        name=food.name,
        aliases=list(food.aliases),
        group=food.group,
        shop=food.shop,
        state=food.state,
        source=food.source,
        source_id=food.source_id,
        nutrients={
            tag: FoodAmount(amount=float(food.nutrients[tag]), unit=nutrient.symbol)
            for tag, nutrient in NUTRIENTS.items()
            if tag in food.nutrients
        },
        measures_g={name: float(grams) for name, grams in food.measures.items()},
        density_g_per_ml=None if food.density is None else float(food.density),
        refuse_percent=None if food.refuse is None else float(food.refuse),
        allergens=sorted(food.allergens),
        allergens_us=list(us_nine(food.allergens, food.cereals)),
        cereals=sorted(food.cereals),
        allergens_known=food.allergens_known,
        check_label=food.check_label,
        families=sorted(families.holds),
        families_may=sorted(families.may),
        families_narrowest=list(narrowest(families.holds)),
        families_may_narrowest=list(narrowest(families.may)),
        families_told=families.told,
        protein_digested=float(known.share),
        protein_digested_source=known.source,
        storage=None if kept is None else _kept(kept),
        note=food.note,
        licence=OGL,
    )


def _kept(kept: Storage) -> Kept:
    caution = cautions().get(kept.caution)
    return Kept.model_validate(
        {
            "class": kept.name,
            "us": _life(kept.us),
            "uk": _life(kept.uk),
            "opened": _life(kept.opened),
            "thawed_days": kept.thawed,
            "freezer_months": kept.freezer_months,
            "freezer_source": kept.freezer_source,
            "freezes_well": kept.freezes_well,
            "caution": None if caution is None else FoodCaution(text=caution[0], source=caution[1]),
        }
    )


def _life(life: Keeping | None) -> Life | None:
    return None if life is None else Life(days=(life.low, life.high), source=life.source)
