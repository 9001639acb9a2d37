"""How much protein a day, by a named standard and a body mass.

The figures are for people in good health, and each standard says for whom. A dietitian or doctor
knows better for anyone else: who is ill, has kidney disease, is a child, or is carrying one.

Sources, and how they were seen. WHO/FAO/UNU, Protein and amino acid requirements in human
nutrition, WHO Technical Report Series 935 (2007): safe level for adults 0.83 g per kg and day,
in pregnancy 1, 9 and 31 g a day more by trimester, in breast-feeding 19 g more, after six months
12.5 g more (the additions as quoted by the European Commission's Knowledge for policy page on
protein in pregnancy). Institute of Medicine, Dietary Reference Intakes (2005): 0.80; 1.1 in
pregnancy (quoted); 1.3 in breast-feeding (from memory). UK COMA, Dietary Reference Values, Report
41 (1991): 0.75. Bauer and others for PROT-AGE (2013), and Deutz and others for ESPEN (2014): 1.0
to 1.2 over 65 (abstracts seen). Academy of Nutrition and Dietetics, Dietitians of Canada and
American College of Sports Medicine (2016): 1.2 to 2.0 for athletes (the range from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

LEAST_BODY_MASS = Decimal(30)
"""Kilograms below which no need is worked out: that is a child, or somebody ill (our own bound)."""

_ADULTS = "healthy adults"
_MIDWIFE = "ask a midwife, a doctor or a dietitian"
_DIETITIAN = "ask a doctor or a dietitian"


@dataclass(frozen=True, slots=True)
class Standard:
    """A published need of protein.

    Attributes
    ----------
    publisher
        Who says so.
    whom
        The people it is for.
    per_kilo
        Grams per kg of body mass and day; the lower end of a range.
    upper
        The upper end of a range, or None.
    more
        Grams a day on top, whatever the body mass.
    ask
        Whom to ask first; empty where it is for healthy adults.
    """

    publisher: str
    per_kilo: Decimal
    whom: str = _ADULTS
    upper: Decimal | None = None
    more: Decimal = Decimal(0)
    ask: str = ""

    @property
    def figure(self) -> str:
        """The need in words.

        Examples
        --------
        >>> STANDARDS["who-2007-pregnancy-3"].figure
        '0.83 g per kg and 31 g a day'
        """
        if self.upper is not None:
            return f"{self.per_kilo} to {self.upper} g per kg and day"
        if self.more:
            return f"{self.per_kilo} g per kg and {self.more} g a day"
        return f"{self.per_kilo} g per kg and day"

    @property
    def source(self) -> str:
        """Who says what of whom.

        Examples
        --------
        >>> STANDARDS["who-2007"].source
        'WHO/FAO/UNU 2007, TRS 935: 0.83 g per kg and day for healthy adults'
        """
        return f"{self.publisher}: {self.figure} for {self.whom}"


def _standard(
    publisher: str, per_kilo: str, whom: str, upper: str = "", more: str = "0", ask: str = ""
) -> Standard:
    top = Decimal(upper) if upper else None
    return Standard(publisher, Decimal(per_kilo), whom, top, Decimal(more), ask)


_WHO, _IOM = "WHO/FAO/UNU 2007, TRS 935", "IOM DRI 2005"
STANDARDS: dict[str, Standard] = {
    "who-2007": _standard(_WHO, "0.83", _ADULTS),
    "iom-2005": _standard(_IOM, "0.80", _ADULTS),
    "uk-1991": _standard("UK COMA 1991", "0.75", _ADULTS),
    "who-2007-pregnancy-1": _standard(
        _WHO, "0.83", "the first three months of pregnancy", more="1", ask=_MIDWIFE
    ),
    "who-2007-pregnancy-2": _standard(
        _WHO, "0.83", "the second three months of pregnancy", more="9", ask=_MIDWIFE
    ),
    "who-2007-pregnancy-3": _standard(
        _WHO, "0.83", "the last three months of pregnancy", more="31", ask=_MIDWIFE
    ),
    "who-2007-breast-feeding": _standard(
        _WHO, "0.83", "breast-feeding in the first six months", more="19", ask=_MIDWIFE
    ),
    "who-2007-breast-feeding-later": _standard(
        _WHO, "0.83", "breast-feeding after six months", more="12.5", ask=_MIDWIFE
    ),
    "iom-2005-pregnancy": _standard(_IOM, "1.1", "pregnancy", ask=_MIDWIFE),
    "iom-2005-breast-feeding": _standard(_IOM, "1.3", "breast-feeding", ask=_MIDWIFE),
    "prot-age-2013": _standard(
        "PROT-AGE 2013", "1.0", "healthy people over 65", upper="1.2", ask=_DIETITIAN
    ),
    "espen-2014": _standard(
        "ESPEN 2014", "1.0", "healthy people over 65", upper="1.2", ask=_DIETITIAN
    ),
    "acsm-2016": _standard(
        "AND, DC and ACSM 2016", "1.2", "athletes", upper="2.0", ask="ask a sports dietitian"
    ),
}
