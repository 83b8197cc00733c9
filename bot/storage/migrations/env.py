"""Run by Alembic: the connection comes from `bot.storage.migrating`, already in its transaction."""

from alembic import context

from bot.storage.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    # SQLite can alter few things in place; batch mode rebuilds the table.
    render_as_batch=True,
)
context.run_migrations()
