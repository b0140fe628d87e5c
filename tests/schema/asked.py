"""Questions made from a schema: those that it allows, and those that it does not."""

import random

# A value of each kind of JSON; which of them a field refuses its schema says.
ALL_KINDS = (None, True, 7, 1.5, -1, "", "neither", [], [7], ["6/3", "6/3"], {}, {"colour": 1})
NEVER_READ = ("$schema",)  # It is for editors alone.


def good_values(field):
    """Values of a field at the ends of its range, or its schema's examples."""
    node = field.target()
    schema = node.schema
    for alternative in node.alternatives():
        yield from good_values(alternative)
    yield from field.schema.get("examples", schema.get("examples", []))
    yield from schema.get("enum", [])
    if schema.get("type") == "boolean":
        yield from (True, False)
    if schema.get("type") in ("integer", "number"):
        for bound in ("minimum", "maximum"):
            if bound in schema:
                yield schema[bound]
        if "exclusiveMinimum" in schema:
            yield schema["exclusiveMinimum"] + 1e-9
    if not {"type", "enum"} & schema.keys() and not node.alternatives():
        yield from ALL_KINDS
    if schema == {**schema, "type": "string"} and "examples" not in schema | field.schema:
        yield "Words – with “signs”"


def bad_values(name, field, is_valid, most):
    """Values beyond the ends of a field's range, and of kinds that it is not; so many at most."""
    schema = field.target().schema
    beyond = [schema[bound] + step for bound, step in (("minimum", -1), ("maximum", 1))
              if bound in schema]
    beyond += [schema["exclusiveMinimum"]] if "exclusiveMinimum" in schema else []
    kinds = random.Random(name).sample(ALL_KINDS, len(ALL_KINDS))  # others for each field
    return [value for value in beyond + kinds if not is_valid(field, value)][:most]


def with_field(question, name, value):
    """A question with a field set; a position is named in one way."""
    other = {"position": "after", "after": "position"}.get(name)
    return {**{key: old for key, old in question.items() if key != other}, name: value}


def good_questions(form, is_valid):
    """The schema's examples with each field in turn set to each of its good values; those left out
    that break a condition between fields."""
    for example in form.schema["examples"]:
        yield example
        for name, field in form.fields().items():
            for value in good_values(field):
                question = with_field(example, name, value)
                if is_valid(form, question):
                    yield question


def bad_questions(form, is_valid, most=len(ALL_KINDS)):
    """(the path of the field that is wrong, the question), by the schema's examples; of each field
    `most` at most."""
    for example in form.schema["examples"]:
        yield from bad_objects(form, example, is_valid, most, "")
        whole = {**example, "position": "6 / 5"}
        yield "position", {key: value for key, value in whole.items() if key != "position"}
        yield "position", {**whole, "after": "31: 8/5 6/5"}
        turned = with_field({**whole, "both_from_roller": True}, "after", "31: 8/5 6/5")
        yield "both", turned


def bad_objects(node, value, is_valid, most, path):
    """An object with one thing wrong in it, at any depth."""
    yield path + "colour", {**value, "colour": 1}
    for name, field in node.fields().items():
        most_here = 0 if name in NEVER_READ else most
        for bad in bad_values(name, field, is_valid, most_here):
            yield path + name, with_field(value, name, bad)
        entries = value.get(name)
        if not isinstance(entries, list):
            continue
        for number, entry in enumerate(entries):
            at = f"{path}{name}[{number}]."
            for _, inner in field.objects() if isinstance(entry, dict) else ():
                for where, bad in bad_objects(inner, entry, is_valid, most, at):
                    yield where, {**value, name: [*entries[:number], bad, *entries[number + 1:]]}
