"""Which rooms are mutated, and which tests try them: those that concern them, and are quick."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """What is mutated together.

    Attributes
    ----------
    files
        Patterns of the files that are mutated.
    tests
        What pytest is given; the examples of what is mutated are added.
    goal
        The least share that is to be killed; 0 where it is only reported.
    budget
        Seconds of CPU for a mutant, by what its tests took when they were noted.
    """

    files: tuple[str, ...]
    tests: tuple[str, ...]
    goal: float = 0.0
    budget: float = 8.0


_OPTIMISER = "tests/optimiser/test_"
_MODELS = "tests/models/test_"

ROOMS = {
    "priorities": Room(
        ("optimiser/priorities/*.py",),
        (
            f"{_OPTIMISER}priorities.py",
            f"{_MODELS}sums.py",
            f"{_OPTIMISER}program.py",
            f"{_OPTIMISER}rows.py",
        ),
        0.9,
    ),
    "rules": Room(
        ("optimiser/rules/*.py",),
        (
            f"{_OPTIMISER}rows.py",
            f"{_OPTIMISER}rule_words.py",
            f"{_OPTIMISER}eaten_within.py",
            f"{_OPTIMISER}wished.py",
            f"{_OPTIMISER}every_nutrient.py",
            f"{_OPTIMISER}last_days.py",
            f"{_OPTIMISER}frozen.py",
            "tests/test_earlier.py",
            "tests/oracle/test_faults.py",
        ),
        0.9,
    ),
    "guards": Room(
        (
            *(
                f"models/foods/{name}.py"
                for name in ["avoided", "families", "raw", "storage", "parts"]
            ),
            "models/week/guards.py",
        ),
        (
            "tests/guards/test_said.py",
            "tests/guards/test_guards.py",
            f"{_MODELS}allergens.py",
            f"{_MODELS}families.py",
            f"{_MODELS}storage.py",
            "tests/published/test_food_allergens.py",
            "tests/published/test_food_storage.py",
        ),
        0.9,
    ),
    "solve": Room(
        ("optimiser/solve/*.py",),
        (
            *(
                f"{_OPTIMISER}{name}.py"
                for name in [
                    "small_answers",
                    "program",
                    "ties",
                    "levelwise",
                    "dealing",
                    "proofs",
                    "passes",
                    "limits",
                    "cooling",
                    "repeats",
                    "clean_hands",
                ]
            ),
            "tests/published/test_job_shop.py",
            "tests/cli/test_cluster.py",
        ),
        budget=20.0,
    ),
    "explain": Room(
        ("optimiser/explain/*.py",),
        tuple(
            f"{_OPTIMISER}{name}.py"
            for name in [
                "small_claims",
                "reasons",
                "foils",
                "conflicts",
                "mend",
                "mend_places",
                "why",
                "why_counted",
            ]
        ),
        budget=30.0,
    ),
}
