#!/usr/bin/env python3
"""The fields of all forms as Markdown, made from the schemas beside this file.

Run as: fields.py [--write]

Prints a table for each form and each part that forms share; with --write it goes into README.md,
between the two markers. Tests use the same walk over the schemas to see which fields occur.
"""

import argparse
import json
import pathlib
import re
import textwrap

FOLDER = pathlib.Path(__file__).resolve().parent
SHARED = "common.json"
BEGIN, END = "<!-- Made by fields.py: begin -->\n", "<!-- Made by fields.py: end -->\n"
TYPES = {"string": "text", "integer": "whole number", "boolean": "true or false"}


def load(folder=FOLDER):
    """The schemas by the names of their files."""
    return {path.name: json.loads(path.read_text(encoding="utf-8"))
            for path in sorted(folder.glob("*.json"))}


class Node:
    """A schema with the file that it stands in, so that its references can be followed."""

    def __init__(self, schemas, file, schema):
        self.schemas = schemas
        self.file = file
        self.schema = schema

    def beside(self, schema):
        return Node(self.schemas, self.file, schema)

    def behind(self, reference):
        """What a reference, such as "common.json#/$defs/estimate", refers to."""
        file, _, pointer = reference.partition("#")
        file = file or self.file
        schema = self.schemas[file]
        for step in pointer.split("/")[1:]:
            schema = schema[step]
        return Node(self.schemas, file, schema)

    def target(self):
        """Itself, or what it refers to in the end."""
        node = self
        while "$ref" in node.schema:
            node = node.behind(node.schema["$ref"])
        return node

    def description(self):
        return self.schema.get("description") or self.target().schema.get("description", "")

    def own_table(self):
        """The name of the table that its fields have, where it refers to a form or a shared part
        that has fields."""
        node, name = self, None
        while "$ref" in node.schema:
            name = node.schema["$ref"].rpartition("/")[2].removesuffix(".json")
            node = node.behind(node.schema["$ref"])
        return name if name and node.fields() else None

    def alternatives(self):
        """What a value may be instead; conditions on what must be there are none of these."""
        return [self.beside(each) for each in self.schema.get("oneOf", [])
                if each.keys() - {"required"}]

    def items(self):
        return self.beside(self.schema["items"])

    def fields(self):
        """Its fields by name, those of what it is put together from first. Names that follow a
        pattern are one field, N."""
        found = {}
        for part in self.schema.get("allOf", []):
            found.update(self.beside(part).target().fields())
        for name, schema in self.schema.get("properties", {}).items():
            if isinstance(schema, dict):
                found[name] = self.beside(schema)
        for schema in self.schema.get("patternProperties", {}).values():
            found["N"] = self.beside(schema)
        return found

    def required(self):
        names = set(self.schema.get("required", []))
        for part in self.schema.get("allOf", []):
            names |= self.beside(part).target().required()
        return names

    def objects(self):
        """The objects with fields that a value may hold without a table of their own, each with
        what is to be added to its path."""
        if self.own_table():
            return
        node = self.target()
        for alternative in node.alternatives():
            yield from alternative.objects()
        if "items" in node.schema:
            for path, inner in node.items().objects():
                yield "[]" + path, inner
        elif node.fields():
            yield "", node


def rows(node, path=""):
    """(path, field, whether it is always there) of an object, by depth first."""
    required = node.required()
    for name, field in node.fields().items():
        yield path + name, field, name in required
        for deeper, inner in field.objects():
            yield from rows(inner, f"{path}{name}{deeper}.")


def tables(schemas):
    """All tables by name: what is printed, what is read, and the parts that these refer to."""
    def is_read(item):
        return not item[1]["title"].startswith("sixfold.")

    forms = sorted((item for item in schemas.items() if item[0] != SHARED), key=is_read)
    found = {name.removesuffix(".json"): Node(schemas, name, schema) for name, schema in forms}
    waiting = list(found.values())
    while waiting:
        for _, field, _ in rows(waiting.pop(0)):
            for name, node in referred(field):
                if name not in found:
                    found[name] = node
                    waiting.append(node)
    return found


def referred(field):
    """The tables that a field refers to."""
    name = field.own_table()
    if name:
        yield name, field.target()
        return
    node = field.target()
    for alternative in node.alternatives():
        yield from referred(alternative)
    if "items" in node.schema:
        yield from referred(node.items())


def occurring(node, value, table, path=""):
    """The (table, path) of each field that a value has."""
    for name, field in node.fields().items():
        for each in (value.values() if name == "N" else [value[name]] if name in value else []):
            yield table, path + name
            yield from inside(field, each, table, path + name)


def inside(field, value, table, path):
    node, own = field.target(), field.own_table()
    if own and isinstance(value, dict):
        yield from occurring(node, value, own)
        return
    for alternative in node.alternatives():
        yield from inside(alternative, value, table, path)
    if isinstance(value, list) and "items" in node.schema:
        for each in value:
            yield from inside(node.items(), each, table, path + "[]")
    elif isinstance(value, dict) and node.fields():
        yield from occurring(node, value, table, path + ".")


def range_words(schema):
    least, most = schema.get("minimum"), schema.get("maximum")
    if "exclusiveMinimum" in schema:
        return f", above {schema['exclusiveMinimum']}"
    if most is not None:
        return f", {least} to {most}"
    return f", {least} or more" if least is not None else ""


def type_words(node):
    table = node.own_table()
    if table:
        return f"[{table}](#{table})"
    schema = node.target().schema
    if "const" in schema or "enum" in schema:
        values = schema.get("enum", [schema.get("const")])
        return " or ".join(f"`{value if isinstance(value, str) else json.dumps(value)}`"
                           for value in values)
    alternatives = node.target().alternatives()
    if alternatives:
        return " or ".join(type_words(each) for each in alternatives)
    if "items" in schema:
        return "list of " + type_words(node.target().items())
    kinds = schema.get("type", "any JSON")
    kinds = kinds if isinstance(kinds, list) else [kinds]
    return " or ".join(TYPES.get(kind, kind) for kind in kinds) + range_words(schema)


def table_text(name, node):
    lines = [f"### {name}", ""]
    title = node.schema.get("title", "")
    begin = f"`{title}`: " if title.startswith("sixfold.") else ""
    lines += [begin + node.description() + ("" if node.description().endswith(".") else "."), "",
              "| field | type | what it is |", "|---|---|---|"]
    for path, field, is_required in rows(node):
        kind = type_words(field) + ("" if is_required else "; optional")
        lines.append(f"| `{path}` | {kind} | {field.description()} |")
    return "\n".join(lines) + "\n"


def markdown(schemas):
    shown = tables(schemas)
    texts = {"## What is printed": [], "## What is read": [], "## Parts": []}
    for name, node in shown.items():
        is_form = name + ".json" in schemas
        is_printed = is_form and node.schema["title"].startswith("sixfold.")
        heading = ("## What is printed" if is_printed else "## What is read" if is_form else
                   "## Parts")
        texts[heading].append(table_text(name, node))
    parts = [f"{heading}\n\n" + "\n".join(found) for heading, found in texts.items()]
    units = textwrap.fill(schemas[SHARED]["description"], 100)
    return units + "\n\n" + "\n".join(parts)


def with_tables(readme, text):
    """A text with what stands between its markers replaced."""
    pattern = re.escape(BEGIN) + ".*" + re.escape(END)
    if not re.search(pattern, readme, re.DOTALL):
        raise ValueError("README.md has not both markers of fields.py")
    return re.sub(pattern, lambda _: f"{BEGIN}\n{text}\n{END}", readme, flags=re.DOTALL)


def main():
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--write", action="store_true", help="into README.md")
    text = markdown(load())
    if parser.parse_args().write:
        readme = FOLDER / "README.md"
        readme.write_text(with_tables(readme.read_text(encoding="utf-8"), text), encoding="utf-8")
    else:
        print(text, end="")


if __name__ == "__main__":
    main()
