"""What is known of food: tables, household measures, how long it keeps."""
