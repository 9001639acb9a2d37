"""The figures that the food table keeps of each food, in the order in which it keeps them.

All are for 100 g edible portion. Tagnames are those of FAO/INFOODS; two figures that are not
measured alike have two tagnames and are never put into one column: carbohydrate by difference
(CHOCDF) and available (CHOAVL), fibre by AOAC (FIBTG) and by Englyst (PSACNS), folate as dietary
folate equivalents (FOLDFE) and as analysed (FOL).
"""

from __future__ import annotations

AMINO_ACIDS: tuple[str, ...] = (
    *("TRP", "THR", "ILE", "LEU", "LYS", "MET", "CYS", "PHE", "TYR", "VAL", "HISTN"),
)
"""Grams in 100 g of food."""
NUTRIENT_TAGS: tuple[str, ...] = (
    *("ENERC", "PROCNT", "FAT", "FASAT", "CHOCDF", "CHOAVL", "FIBTG", "PSACNS", "SUGAR", "NA"),
    *("ALC", "CA", "FE", "MG", "K", "ZN", "ID", "VITA_RAE", "VITC", "VITD", "VITB12", "FOLDFE"),
    "FOL",
    *AMINO_ACIDS,
)
WATER = "WATER"
"""In the table for mass balances; no nutrient of a lunch."""
COLUMNS: tuple[str, ...] = (WATER, *NUTRIENT_TAGS)
TRACE = "tr"
"""Too little to be measured, but there: nothing in a sum, and not unknown."""
