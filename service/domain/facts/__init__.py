"""What is known of boards and units, by whom and how well; and the question that is asked of it."""
