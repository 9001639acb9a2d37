"""The food of a week file made plain: batches, the larder, what dishes weigh out."""
