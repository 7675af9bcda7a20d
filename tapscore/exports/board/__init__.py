"""One drawing of the board, for paper, screen and pixels."""
