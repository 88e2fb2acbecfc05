"""On PostgreSQL: rows of each nursery apart. Elsewhere nothing changes, and no model does."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from graftwright.store.rows_apart import put_rows_apart


def _put_apart(_apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    put_rows_apart(schema_editor.connection)


class Migration(migrations.Migration):

    dependencies = [
        ('store', '0003_accounts'),
    ]

    operations = [
        migrations.RunPython(_put_apart, migrations.RunPython.noop),
    ]
