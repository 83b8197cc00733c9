"""The domain, pure: what the kennel's records mean.

In come the kennel, its ledger and a day or an instant; out come small frozen values that carry the
figures they rest on, their source and their caution. Nothing here knows a chat, a database or a
clock, and nothing here words a sentence for a person.
"""
