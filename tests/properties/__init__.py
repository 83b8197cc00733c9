"""Rules that hold for any input, drawn by Hypothesis; `strategies` has what several of them draw from."""
