"""Runs the migrations on the connection that `assetlib.catalogue.schema` hands over."""

from alembic import context

from assetlib.catalogue.tables import Base


def include_name(name: str | None, kind: str, _parents: object) -> bool:
    """Leave the full-text tables alone: they are made by literal SQL, not by models."""
    return not (kind == "table" and name is not None and name.startswith("entry_text"))


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    include_name=include_name,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
