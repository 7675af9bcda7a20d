"""Rules about props: in the list, on the board, in the hand."""
