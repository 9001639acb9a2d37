"""Recipes of other people's pages made into batches to draft; nothing is ever fetched."""

from models.file.recipes.reading import named_apart, pasted, read_recipes, recipes_in

__all__ = ["named_apart", "pasted", "read_recipes", "recipes_in"]
