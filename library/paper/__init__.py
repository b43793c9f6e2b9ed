"""What gets printed: plans, set-up sheets, lists, letters, labels."""
