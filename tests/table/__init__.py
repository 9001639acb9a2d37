"""The week at the kitchen table: who may come in, what is shown, what is changed."""
