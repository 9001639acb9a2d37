"""How much protein a mixed meal gives that the body can use, as shares that add up.

What is usable is set by the amino acid that is shortest, against a pattern of what a gram of
protein should hold; grain and pulse complete each other. Each share says for how many grams of
usable protein one amino acid suffices, and one more that no more is usable than is digested. All
of them add up over foods, so a floor on the smallest of them is a row for each.

Source: FAO, Dietary protein quality evaluation in human nutrition, Food and Nutrition Paper 92
(2013): pattern for older children, adolescents and adults, and that a mixed meal scores at most
100 %. The figures as given to us by others, not looked up in the paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from models.words.nutrients import NUTRIENTS, PROTEIN, USABLE, Nutrient

PATTERN_SOURCE = "FAO 2013, adults"
DIGESTED_SOURCE = "by the digestibility of each food: FAO/WHO 1991"


@dataclass(frozen=True, slots=True)
class Share:
    """What one amino acid, or two that stand in for each other, suffices for.

    Attributes
    ----------
    tags
        Tagnames of what counts together.
    pattern
        Milligrams of it in a gram of usable protein.
    """

    name: str
    tags: tuple[str, ...]
    pattern: Decimal

    def of(self, amounts: Mapping[str, Decimal], digested: Decimal) -> Decimal | None:
        """Work out the grams of usable protein it suffices for; None where a figure is missing.

        Parameters
        ----------
        amounts
            Protein and amino acids, in grams.
        digested
            Share of the protein that is digested, 0 to 1.

        Returns
        -------
        In g, not rounded; 0 where there is no protein, though no amino acid is given.

        Examples
        --------
        >>> SHARES["usable:LYS"].of({"LYS": Decimal("0.48")}, Decimal("0.9"))
        Decimal('9.000')
        """
        if amounts.get(PROTEIN) == 0:
            return Decimal(0)
        if any(tag not in amounts for tag in self.tags):
            return None
        held = sum((amounts[tag] for tag in self.tags), Decimal(0))
        return held * digested * 1000 / self.pattern


SHARES: dict[str, Share] = {
    f"usable:{share.tags[0]}": share
    for share in (
        Share("histidine", ("HISTN",), Decimal(16)),
        Share("isoleucine", ("ILE",), Decimal(30)),
        Share("leucine", ("LEU",), Decimal(61)),
        Share("lysine", ("LYS",), Decimal(48)),
        Share("methionine with cystine", ("MET", "CYS"), Decimal(23)),
        Share("phenylalanine with tyrosine", ("PHE", "TYR"), Decimal(41)),
        Share("threonine", ("THR",), Decimal(25)),
        Share("tryptophan", ("TRP",), Decimal("6.6")),
        Share("valine", ("VAL",), Decimal(40)),
        Share("protein that is digested", (PROTEIN,), Decimal(1000)),
    )
}

COUNTED: dict[str, Nutrient] = {
    **{tag: nutrient for tag, nutrient in NUTRIENTS.items() if tag != USABLE},
    **{tag: Nutrient(tag, f"usable by {share.name}", "gram") for tag, share in SHARES.items()},
}
"""All that is summed over food: what the table has figures of, and the shares."""
