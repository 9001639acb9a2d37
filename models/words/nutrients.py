"""Nutrients, named by INFOODS tagnames and by the words a cook uses.

Source of tagnames: FAO/INFOODS food component identifiers (tagnames). Where INFOODS
gives ENERC in kilojoules unless stated, it is stated here: energy is kept in
kilocalories, as labels of both the EU and the US print them; amino acids in grams, as the releases
of the food table do. Salt equivalent: salt =
sodium x 2.5, Regulation (EU) No 1169/2011 Annex I (11).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Nutrient:
    """One food component.

    Attributes
    ----------
    tagname
        Its INFOODS tagname, as "PROCNT".
    name
        What a cook calls it, as "protein".
    unit
        The unit its amounts are kept in: gram, milligram, microgram or kilocalorie.
    """

    tagname: str
    name: str
    unit: str

    @property
    def symbol(self) -> str:
        """The unit as printed.

        Examples
        --------
        >>> NUTRIENTS["ENERC"].symbol, NUTRIENTS["NA"].symbol
        ('kcal', 'mg')
        """
        return {"gram": "g", "milligram": "mg", "microgram": "µg", "kilocalorie": "kcal"}[self.unit]


NUTRIENTS: dict[str, Nutrient] = {
    item.tagname: item
    for item in (
        Nutrient("ENERC", "energy", "kilocalorie"),
        Nutrient("PROCNT", "protein", "gram"),
        Nutrient("FAT", "fat", "gram"),
        Nutrient("CHOAVL", "carbohydrate", "gram"),
        Nutrient("CHOCDF", "total carbohydrate", "gram"),
        Nutrient("FIBTG", "fibre", "gram"),
        Nutrient("SUGAR", "sugar", "gram"),
        Nutrient("NA", "sodium", "milligram"),
        Nutrient("K", "potassium", "milligram"),
        Nutrient("CA", "calcium", "milligram"),
        Nutrient("FE", "iron", "milligram"),
        Nutrient("VITA", "vitamin A", "microgram"),
        Nutrient("THIA", "thiamin", "milligram"),
        Nutrient("RIBF", "riboflavin", "milligram"),
        Nutrient("NIA", "niacin", "milligram"),
        Nutrient("VITC", "vitamin C", "milligram"),
        Nutrient("FASAT", "saturated fat", "gram"),
        Nutrient("PSACNS", "non-starch polysaccharides", "gram"),
        Nutrient("ALC", "alcohol", "gram"),
        Nutrient("MG", "magnesium", "milligram"),
        Nutrient("ZN", "zinc", "milligram"),
        Nutrient("ID", "iodine", "microgram"),
        Nutrient("VITA_RAE", "vitamin A activity", "microgram"),
        Nutrient("VITD", "vitamin D", "microgram"),
        Nutrient("VITB12", "vitamin B12", "microgram"),
        Nutrient("FOLDFE", "folate", "microgram"),
        Nutrient("FOL", "folate as analysed", "microgram"),
        *(
            Nutrient(tag, name, "gram")
            for tag, name in (
                ("TRP", "tryptophan"),
                ("THR", "threonine"),
                ("ILE", "isoleucine"),
                ("LEU", "leucine"),
                ("LYS", "lysine"),
                ("MET", "methionine"),
                ("CYS", "cystine"),
                ("PHE", "phenylalanine"),
                ("TYR", "tyrosine"),
                ("VAL", "valine"),
                ("HISTN", "histidine"),
            )
        ),
        Nutrient("usable_protein", "usable protein", "gram"),
    )
}

PROTEIN = "PROCNT"
USABLE = "usable_protein"
"""Not a figure of any food, but what its amino acids come to: `models.words.protein`."""
SALT_PER_SODIUM = Decimal("2.5")

_BY_NAME = {item.name.casefold(): tag for tag, item in NUTRIENTS.items()} | {
    tag.casefold(): tag for tag in NUTRIENTS
}
_BY_NAME["fiber"] = "FIBTG"
"""Its American spelling; no other name of a nutrient has one."""

NAMES: tuple[str, ...] = (*(item.name for item in NUTRIENTS.values()), "salt")


def printed(tag: str, guidance: str) -> tuple[str, str, Decimal]:
    """Look up the name, the unit and the factor with which a nutrient is printed.

    The United Kingdom prints salt where others print sodium (Regulation (EU) No 1169/2011, Annex
    XV, as retained in UK law).

    Parameters
    ----------
    tag
        INFOODS tagname.
    guidance
        Whose words: a key of `GUIDANCES`.

    Returns
    -------
    tuple of str, str and Decimal
        Name, unit, and the factor from the unit in which the nutrient is kept.

    Examples
    --------
    >>> printed("NA", "uk")
    ('salt', 'g', Decimal('0.0025'))
    >>> printed("NA", "us")
    ('sodium', 'mg', Decimal('1'))
    """
    if tag == "NA" and guidance == "uk":
        return "salt", "g", SALT_PER_SODIUM / 1000
    return NUTRIENTS[tag].name, NUTRIENTS[tag].symbol, Decimal(1)


def tagname(name: str) -> str | None:
    """Find the tagname for a plain name or a tagname, or None. "salt" is not one.

    Parameters
    ----------
    name
        A name of `NUTRIENTS` or a tagname, letters large or small.

    Returns
    -------
    A key of `NUTRIENTS`.

    Examples
    --------
    >>> tagname("Protein"), tagname("fibtg"), tagname("salt")
    ('PROCNT', 'FIBTG', None)
    """
    return _BY_NAME.get(" ".join(name.split()).casefold())
