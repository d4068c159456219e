"""What a job comes to on paper: one page for the customer, one for the record."""
