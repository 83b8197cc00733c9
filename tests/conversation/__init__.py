"""The conversation, piece by piece, with readings made by hand."""
