"""Recipes of other people's pages made into batches to draft; nothing is ever fetched."""

from models.file.recipes.reading import named_apart, read_recipes

__all__ = ["named_apart", "read_recipes"]
