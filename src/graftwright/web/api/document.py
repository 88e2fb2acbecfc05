"""The address for programs described in OpenAPI 3.1, made from the types themselves."""

from collections.abc import Sequence
from importlib.metadata import version

from graftwright.notebook.written import KINDS
from graftwright.season.job import Job
from graftwright.season.planned import Plan
from graftwright.store.pages import STANDING_KINDS
from graftwright.web.api.answers import JSON, PROBLEM, TITLES
from graftwright.web.api.reading import MOST_ENTRIES
from graftwright.web.api.schema import Schema, Schemas
from graftwright.web.api.things import THING_KINDS

_LIMIT: Schema = {
    "name": "limit",
    "in": "query",
    "schema": {"type": "integer", "minimum": 1, "maximum": 500, "default": 100},
    "description": "How many at most.",
}


_WORDS = (
    "Everything of one notebook can be read, and entries can be written. Each call carries a "
    "token: Authorization: Bearer, then the token. A token is made with `graftwright token` or on "
    "the page Exchange, and may be taken back there. Sending an entry again with the same entry_id "
    "is harmless."
)


def api_document() -> Schema:
    """Return the whole description."""
    schemas = Schemas()
    paths = _paths(schemas)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Graftwright",
            "version": version("graftwright"),
            "description": _WORDS,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "security": [{"token": []}],
        "paths": paths,
        "components": {
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
            "schemas": dict(sorted({**schemas.named, **_own_schemas()}.items())),
        },
    }


def _own_schemas() -> Schema:
    return {
        "Problem": {
            "type": "object",
            "description": "What went wrong and the way out (RFC 9457).",
            "properties": {
                "type": {"type": "string"},
                "title": {"type": "string"},
                "status": {"type": "integer"},
                "detail": {"type": "string"},
            },
            "required": ["type", "title", "status", "detail"],
        },
        "WrittenEntry": {
            "type": "object",
            "description": "An entry with the marks it got when it was written down.",
            "properties": {
                "sequence": {"type": "integer"},
                "entry_id": {"type": "string", "format": "uuid"},
                "written_at": {"type": "string", "format": "date-time"},
                "written_by": {"type": "string"},
                "device": {"type": "string"},
                "nursery": {"type": "string"},
                "kind": {"type": "string"},
                "entry": {"type": "object"},
            },
            "required": ["entry_id", "written_at", "kind", "entry"],
        },
        "EntryToWrite": {
            "description": "One entry: its kind, the fields of the kind, and, to be able to send "
            "it again, an id of your own.",
            "oneOf": [_entry_of_kind(kind) for kind in sorted(KINDS)],
        },
    }


def _entry_of_kind(kind: str) -> Schema:
    mark: Schema = {"type": "string", "maxLength": 40}
    return {
        "type": "object",
        "title": kind,
        "properties": {
            "kind": {"const": kind},
            "entry": {"$ref": f"#/components/schemas/{kind}"},
            "entry_id": {"type": "string", "format": "uuid"},
            "written_by": mark,
            "device": mark,
            "nursery": mark,
        },
        "required": ["kind", "entry"],
    }


def _paths(schemas: Schemas) -> Schema:
    for kind in KINDS.values():
        schemas.of(kind)
    whole: Schema = {"type": "object"}
    return {
        "/api/": {"get": _operation("index", "Whose notebook this is.", whole)},
        "/api/openapi.json": {"get": _operation("document", "This description.", whole)},
        **_entry_paths(),
        **_thing_paths(schemas),
        **_day_paths(schemas),
    }


def _entry_paths() -> Schema:
    written: Schema = {"$ref": "#/components/schemas/WrittenEntry"}
    read = _operation(
        "entries",
        "Entries in the order written; `after` of the answer leads to the next ones.",
        _list("entries", written, {"type": "integer"}),
        parameters=(
            _query("after", {"type": "integer", "minimum": 0}, "From this place on."),
            _LIMIT,
            _query("kind", {"type": "string"}, "Of one kind only."),
            _query("about", {"type": "string"}, "About one code or key only."),
        ),
        problems=(422,),
    )
    write = _operation(
        "write_entries",
        "Write entries, all or none, with the notebook's rules asked.",
        _object({"entries": {"type": "array", "items": written}}),
        body=_one_or_many(),
        made="All of them were here already.",
        problems=(403, 404, 409, 413, 422, 503),
    )
    one = _operation(
        "one_entry",
        "One entry as it was written.",
        written,
        parameters=(_in_path("entry_id", {"type": "string", "format": "uuid"}),),
        problems=(404, 422),
    )
    return {
        "/api/entries": {"get": read, "post": write},
        "/api/entries/{entry_id}": {"get": one},
    }


def _day_paths(schemas: Schemas) -> Schema:
    jobs = _object(
        {
            "today": {"type": "string", "format": "date"},
            "jobs": {"type": "array", "items": schemas.of(Job)},
        }
    )
    codes = _operation(
        "codes",
        "Codes that name nothing yet; nobody else is given the same.",
        _object({"codes": {"type": "array", "items": {"type": "string"}}}),
        body=_object({"count": {"type": "integer", "minimum": 1, "maximum": 200}}),
        made="",
        problems=(403, 413, 422, 503),
    )
    plan, troubles = schemas.of(Plan), (409, 422)
    return {
        "/api/jobs": {"get": _operation("jobs", "The day's jobs.", jobs, problems=troubles)},
        "/api/plan": {"get": _operation("plan", "The winter's plan.", plan, problems=troubles)},
        "/api/codes": {"post": codes},
    }


def _thing_paths(schemas: Schemas) -> Schema:
    paths: Schema = {}
    key: Schema = {"type": "string", "minLength": 1, "maxLength": 80, "pattern": "^[^/]+$"}
    for kind, stored in THING_KINDS.items():
        one = _object(
            {
                "key": {"type": "string"},
                "names": {"type": "object"},
                "state": schemas.of(STANDING_KINDS[stored]),
            }
        )
        name = kind.replace("-", "_")
        paths[f"/api/things/{kind}"] = {
            "get": _operation(
                f"list_{name}",
                f"Things of this kind as they stand: {kind}.",
                _list("things", one, {"type": "string"}),
                parameters=(_query("after", {"type": "string"}, "From this key on."), _LIMIT),
                problems=(404, 422),
            )
        }
        paths[f"/api/things/{kind}/{{key}}"] = {
            "get": _operation(
                f"one_of_{name}",
                f"One of them, by its code or key: {kind}.",
                one,
                parameters=(_in_path("key", key),),
                problems=(404, 422),
            )
        }
    return paths


def _one_or_many() -> Schema:
    one: Schema = {"$ref": "#/components/schemas/EntryToWrite"}
    many: Schema = {"type": "array", "items": one, "minItems": 1, "maxItems": MOST_ENTRIES}
    return {"anyOf": [one, _object({"entries": many})]}


def _list(name: str, one: Schema, following: Schema) -> Schema:
    return _object(
        {
            name: {"type": "array", "items": one},
            "after": {"anyOf": [following, {"type": "null"}]},
        }
    )


def _object(parts: Schema) -> Schema:
    """An object all of whose parts are there."""
    return {"type": "object", "properties": parts, "required": [*parts]}


def _operation(
    name: str,
    words: str,
    answer: Schema,
    *,
    parameters: Sequence[Schema] = (),
    body: Schema | None = None,
    made: str | None = None,
    problems: Sequence[int] = (),
) -> Schema:
    """One call. `made` not None: it answers 201, and 200 too where the words are not empty."""
    responses: Schema = {}
    if made is None or made:
        responses["200"] = _answer(made or words, answer)
    if made is not None:
        responses["201"] = _answer(words, answer)
    for status in sorted({401, 429, 503, *problems}):
        responses[str(status)] = _problem(TITLES[status])
    operation: Schema = {"operationId": name, "summary": words, "responses": responses}
    if parameters:
        operation["parameters"] = list(parameters)
    if body is not None:
        operation["requestBody"] = {"required": True, "content": {JSON: {"schema": body}}}
    return operation


def _answer(words: str, schema: Schema) -> Schema:
    return {"description": words, "content": {JSON: {"schema": schema}}}


def _problem(words: str) -> Schema:
    schema: Schema = {"$ref": "#/components/schemas/Problem"}
    return {"description": words, "content": {PROBLEM: {"schema": schema}}}


def _query(name: str, schema: Schema, words: str) -> Schema:
    return {"name": name, "in": "query", "schema": schema, "description": words}


def _in_path(name: str, schema: Schema) -> Schema:
    return {"name": name, "in": "path", "required": True, "schema": schema}
