"""Assessments, reminders and doubts put into the family's words and units. Pure."""
