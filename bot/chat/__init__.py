"""Telegram and the terminal: the only rooms that know how a message travels."""
