"""The command `clearfridge`: thin, and importing no more than a command needs."""

from __future__ import annotations

# In the order in which help lists the commands.
from optimiser.cli import plans

# isort: split
from optimiser.cli import change

# isort: split
from optimiser.cli import otherwise

# isort: split
from optimiser.cli import others

# isort: split
from optimiser.cli import papers

# isort: split
from optimiser.cli import kitchen

# isort: split
from optimiser.cli import files
from optimiser.cli.app import app, main

__all__ = ["app", "change", "files", "kitchen", "main", "others", "otherwise", "papers", "plans"]
