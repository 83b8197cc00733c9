"""The database: inbox, roster, ledger, outbox. The only rooms that know SQLAlchemy."""
