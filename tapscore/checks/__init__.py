"""What usually goes wrong at the board, seen before anyone sits there.  One rule a file."""
