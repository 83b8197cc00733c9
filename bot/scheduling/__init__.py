"""The clock, the rounds of the agenda, and the delivery of the outbox."""
