#!/usr/bin/env python3
"""The schemas in tools/schema describe what the tool prints and reads.

Run as: schema_test.py <sixfold> <nets directory> <tools directory>

Runs the tool so that it prints every form, and holds each line against its schema; a field that a
schema describes and no line has is a failure too. Questions made from the schemas are put to the
tool: both take the same ones. Exits with 77 if Python's jsonschema is missing.
"""

import json
import pathlib
import sys
import tempfile
import unittest
from concurrent.futures import ThreadPoolExecutor

sys.dont_write_bytecode = True  # the source tree stays clean

try:
    import jsonschema
except ImportError:
    print("Python's jsonschema is missing")
    sys.exit(77)

import answers
import asked

# What a schema describes and no run here prints: (table, path) as keys, the reasons as values.
NEVER_PRINTED = {("match", "interrupted"): "somebody has to stop it: tests/python does"}
# Keywords below which fields are conditions, not descriptions.
CONDITIONS = ("if", "then", "else", "not", "anyOf", "dependentSchemas")


def only_these(schemas):
    """What tells a validator of these schemas, and has it fetch no others from anywhere."""
    try:
        import referencing.jsonschema
    except ImportError:  # jsonschema before 4.18, as Debian 12 has it
        class Offline(jsonschema.RefResolver):
            def resolve_remote(self, uri):
                raise LookupError(f"{uri} is none of the schemas")

        return {"resolver": Offline("", {}, store=schemas)}
    made = ((name, referencing.jsonschema.DRAFT202012.create_resource(schema))
            for name, schema in schemas.items())
    return {"registry": referencing.Registry().with_resources(made)}


class Checker:
    """Validates by the schemas of a folder alone."""

    def __init__(self, schemas):
        self.schemas = schemas
        self.known = only_these(schemas)

    def validator(self, file, schema):
        whole = {"$ref": file} if schema is self.schemas[file] else {"$id": file, **schema}
        return jsonschema.Draft202012Validator(whole, **self.known)

    def complaints(self, file, value):
        """Why a value does not fit a form, each with its place in the value."""
        def leaves(error):
            return [leaf for each in error.context for leaf in leaves(each)] or [error]

        return [f"{'/'.join(map(str, leaf.absolute_path))}: {leaf.message[:200]}"
                for error in self.validator(file, self.schemas[file]).iter_errors(value)
                for leaf in leaves(error)]

    def is_valid(self, node, value):
        return self.validator(node.file, node.schema).is_valid(value)


def described(schema, path=""):
    """(path, schema) of everything below a schema that describes a field."""
    for name, inner in schema.items() if isinstance(schema, dict) else enumerate(schema):
        if name in CONDITIONS or not isinstance(inner, (dict, list)):
            continue
        if name in ("properties", "patternProperties"):
            yield from ((f"{path}/{field}", each) for field, each in inner.items())
        yield from described(inner, f"{path}/{name}")


def names_in_conditions(schema):
    """The fields of an object that the conditions on it name."""
    names = set(schema.get("required", ()))
    for name, others in schema.get("dependentRequired", {}).items():
        names |= {name, *others}
    conditions = [*schema.get("dependentSchemas", {}).values(), *schema.get("oneOf", ()),
                  *schema.get("anyOf", ()),
                  *(schema[word] for word in ("if", "then", "else") if word in schema)]
    for condition in conditions:
        names |= names_in_conditions(condition) | condition.get("properties", {}).keys()
    return names | set(schema.get("dependentSchemas", ()))


class SchemaTest(unittest.TestCase):
    tool = schemas = fields = checker = tools = None  # set by main()

    def form(self, name):
        return self.fields.Node(self.schemas, name, self.schemas[name])

    def test_schemas_are_schemas(self):
        for name, schema in self.schemas.items():
            with self.subTest(schema=name):
                jsonschema.Draft202012Validator.check_schema(schema)
                self.assertEqual(schema["$id"], name)
                self.assertIn("2020-12", schema["$schema"])

    def test_every_field_is_described(self):
        for name, schema in self.schemas.items():
            for path, field in described(schema):
                with self.subTest(schema=name, field=path):
                    node = self.fields.Node(self.schemas, name, field)
                    self.assertTrue(node.description().strip())

    def objects(self):
        """All objects that have fields, by what tells where they are."""
        tables = self.fields.tables(self.schemas)
        objects = dict(tables)
        for name, node in tables.items():
            for path, field, _ in self.fields.rows(node):
                objects.update({f"{name} {path}{at}": inner for at, inner in field.objects()})
        self.assertGreater(len(objects), 40)
        return objects.items()

    def test_no_object_takes_unknown_fields(self):
        for name, node in self.objects():
            with self.subTest(object=name):
                closed = [node.schema.get(word)
                          for word in ("additionalProperties", "unevaluatedProperties")]
                self.assertIn(False, closed)

    def test_conditions_name_fields_that_there_are(self):
        for name, node in self.objects():
            parts = [node.beside(part).target() for part in node.schema.get("allOf", ())]
            for each in (node, *parts):
                with self.subTest(object=name):
                    known = node.fields().keys()
                    self.assertEqual(names_in_conditions(each.schema) - known, set())

    def test_the_table_of_fields_is_made_from_the_schemas(self):
        readme = (self.tools / "schema" / "README.md").read_text(encoding="utf-8")
        made = self.fields.with_tables(readme, self.fields.markdown(self.schemas))
        self.assertEqual(readme, made, "run tools/schema/fields.py --write")

    def test_everything_that_is_printed_fits_and_every_field_occurs(self):
        printed = answers.all_answers(self.tool)
        forms = {schema["properties"]["schema"]["const"]: name
                 for name, schema in self.schemas.items()
                 if "const" in schema.get("properties", {}).get("schema", {})}
        seen = set()
        for command, line in printed:
            self.assertIn(line.get("schema"), forms, command)
            name = forms[line["schema"]]
            for complaint in self.checker.complaints(name, line):
                self.fail(f"{command}, {name}, {complaint}\n{json.dumps(line)[:1000]}")
            table = name.removesuffix(".json")
            seen.update(self.fields.occurring(self.form(name), line, table))
        missing = self.printed_fields(forms.values()) - seen - NEVER_PRINTED.keys()
        self.assertEqual(missing, set(), "described, and never printed")
        self.assertEqual(NEVER_PRINTED.keys() & seen, set(), "no exceptions any more")

    def printed_fields(self, forms):
        """All fields of these forms and of the parts that they refer to."""
        chosen = {name: self.schemas[name] for name in (*forms, self.fields.SHARED)}
        return {(table, path) for table, node in self.fields.tables(chosen).items()
                for path, _, _ in self.fields.rows(node)}

    def test_a_change_to_an_answer_is_noticed(self):
        line, = self.tool.ask("evaluate", "--position", answers.RACE, "--dice", "21")
        self.assertEqual(self.checker.complaints("evaluation.json", line), [])
        play = line["plays"][0]
        for changed in ({**line, "colour": 1}, {**line, "plays": [{**play, "colour": 1}]},
                        {**line, "plays": [{**play, "cost": "0"}]}, {**line, "bear_off": {}},
                        {**line, "jacoby": True, "cube": "none"},
                        {key: value for key, value in line.items() if key != "plays"},
                        {key: value for key, value in line.items() if key != "dice"}):
            self.assertNotEqual(self.checker.complaints("evaluation.json", changed), [])

    def queue_add(self, *names, codes=(0,)):
        return self.tool.run("queue", "add", "--db", "asked.db", *names, "--net", self.tool.net,
                             codes=codes)

    def test_requests_that_the_schema_allows_are_taken(self):
        form = self.form("request.json")
        questions = list(asked.good_questions(form, self.checker.is_valid))
        self.assertEqual(set().union(*questions), set(form.fields()))
        with_facts = [question for question in questions if "facts" in question]
        for line in self.tool.answer("evaluate", with_facts):
            self.assertEqual(line["schema"], "sixfold.evaluation/3")
        others = [question for question in questions if "facts" not in question]
        lines = "\n".join(map(json.dumps, others))
        (self.tool.folder / "good.jsonl").write_text(lines, encoding="utf-8")
        added = self.queue_add("good.jsonl").stdout.split()
        self.assertEqual(len(added), len(others))

    def test_requests_that_the_schema_refuses_are_refused(self):
        form = self.form("request.json")
        questions = list(asked.bad_questions(form, self.checker.is_valid))
        self.assertGreater(len(questions), 5 * len(form.fields()))
        lines = self.tool.answer("rollout", [question for _, question in questions], codes=(1,))
        self.assertEqual(len(lines), len(questions))
        for (field, question), line in zip(questions, lines):
            with self.subTest(question=question):
                self.assertFalse(self.checker.is_valid(form, question))
                self.assertEqual(line["schema"], "sixfold.error/1")
                self.assertIn(field, line["error"])
                if field == "colour":
                    known = line["error"].partition("expected one of ")[2].split(", ")
                    self.assertEqual(set(known), set(form.fields()))

    def test_lesson_files_that_the_schema_allows_are_taken(self):
        form = self.form("lesson_file.json")
        lessons = list(asked.good_questions(form, self.checker.is_valid))
        self.assertEqual(set().union(*lessons), set(form.fields()))
        names = self.written("good", lessons)
        self.assertEqual(len(self.queue_add(*names).stdout.split()), len(lessons))

    def test_lesson_files_that_the_schema_refuses_are_refused(self):
        form = self.form("lesson_file.json")
        lessons = list(asked.bad_questions(form, self.checker.is_valid, 3))  # a run for each
        self.assertGreater(len(lessons), 2 * len(form.fields()))
        names = self.written("bad", [lesson for _, lesson in lessons])
        with ThreadPoolExecutor(2) as workers:
            runs = list(workers.map(lambda name: self.queue_add(name, codes=(0, 1)), names))
        for (field, lesson), run in zip(lessons, runs):
            with self.subTest(lesson=lesson):
                self.assertFalse(self.checker.is_valid(form, lesson))
                self.assertEqual(run.returncode, 1)
                self.assertIn(field, run.stderr)

    def written(self, stem, lessons):
        names = [f"{stem}_{number}.json" for number in range(len(lessons))]
        for name, lesson in zip(names, lessons):
            (self.tool.folder / name).write_text(json.dumps(lesson), encoding="utf-8")
        return names

    def test_the_demo_fits(self):
        demo = self.tools / "demo"
        lessons = {path.name: json.loads(path.read_text(encoding="utf-8"))
                   for path in demo.glob("*.json")}
        self.assertEqual(len(lessons), 4)
        for name, lesson in lessons.items():
            with self.subTest(lesson=name):
                self.assertEqual(self.checker.complaints("lesson_file.json", lesson), [])
                self.assertTrue((demo / lesson["$schema"]).is_file())
        night = (demo / "night.jsonl").read_text(encoding="utf-8").splitlines()
        self.assertEqual(len(night), 12)
        for line in night:
            self.assertEqual(self.checker.complaints("request.json", json.loads(line)), [], line)


def main():
    program, nets, tools = (pathlib.Path(argument).resolve() for argument in sys.argv[1:4])
    sys.path.insert(0, str(tools / "schema"))
    import fields  # it stands where the schemas do
    with tempfile.TemporaryDirectory(prefix="sixfold_schema_") as folder:
        SchemaTest.tool = answers.Tool(program, nets / "standard.safetensors", folder)
        SchemaTest.tools, SchemaTest.fields = tools, fields
        SchemaTest.schemas = fields.load()
        SchemaTest.checker = Checker(SchemaTest.schemas)
        run = unittest.main(argv=[sys.argv[0], *sys.argv[4:]], exit=False)
    sys.exit(not run.result.wasSuccessful())


if __name__ == "__main__":
    main()
