"""Rules about metre: bars, beats and words that fit them."""
