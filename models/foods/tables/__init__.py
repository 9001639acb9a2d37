"""Food facts as CSV, each row with its source. Read by models.foods."""
