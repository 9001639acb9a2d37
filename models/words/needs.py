"""How much protein a day, by a named standard and a body mass.

Sources: WHO/FAO/UNU, Protein and amino acid requirements in human nutrition,
WHO Technical Report Series 935 (2007), safe level for adults 0.83 g per kg and
day; Institute of Medicine, Dietary Reference Intakes (2005), 0.80; UK COMA,
Dietary Reference Values, Report 41 (1991), 0.75. For adults in good health; a
dietitian or doctor knows better for anyone else.
"""

from __future__ import annotations

from decimal import Decimal

STANDARDS: dict[str, tuple[Decimal, str]] = {
    "who-2007": (Decimal("0.83"), "WHO/FAO/UNU 2007, TRS 935: 0.83 g per kg and day"),
    "iom-2005": (Decimal("0.80"), "IOM DRI 2005: 0.80 g per kg and day"),
    "uk-1991": (Decimal("0.75"), "UK COMA 1991: 0.75 g per kg and day"),
}
