"""The words that the licence of the British figures asks for; NOTICE names all sources."""

from __future__ import annotations

OGL = "Contains public sector information licensed under the Open Government Licence v3.0."
