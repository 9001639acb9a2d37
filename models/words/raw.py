"""Kinds of raw food that carry germs, as steps and reports name what hands touch."""

from __future__ import annotations

RAW = ("raw poultry", "raw meat", "raw fish", "raw shellfish", "raw egg")
