"""What one message brings about: what is kept and what is said, and to whom. Pure."""
