"""Runs command lines of a woodmove in which every sentence says something else.

``python garbled.py plain|garbled LINE...`` prints a JSON list: of each line its exit code and its document.
Garbled, each sentence that stands in the source of woodmove and of its own plugins is replaced as it is
imported, and one that stands there twice by two unlike ones: a comparison with a sentence, or a table by
sentences, then finds something else, or nothing.
"""

import ast
import contextlib
import io
import itertools
import json
import re
import shlex
import sys
from importlib.machinery import SourceFileLoader

# Two words at least. What begins with a space is the end of a longer text, or of the name of an input.
SENTENCE = re.compile(r"(?! ).*[A-Za-z}][,.:]? [A-Za-z{(]", re.DOTALL)
PLACE = re.compile(r"\{[^{}]*\}")
# First arguments that are keys with a space in them: names of inputs, which seed draws, and of commands.
KEYED = {"Distribution", "CommandSpec", "_command"}


class Garbler(ast.NodeTransformer):
    """Another text for each sentence, with the places for its values."""

    numbers = itertools.count()

    def visit_Call(self, node: ast.Call) -> ast.AST:
        name = ast.unparse(node.func)
        kept = node.args[:1] if name in KEYED or name.startswith("re.") else []
        named = [each for each in node.keywords if name == "replace" and each.arg == "name"]
        node.keywords = [each for each in node.keywords if each not in named]
        self.generic_visit(node)
        node.args[: len(kept)] = kept
        node.keywords += named
        return node

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.AST:
        # The words of an enumeration are its values.
        return node if "StrEnum" in map(ast.unparse, node.bases) else self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        if not isinstance(node.value, str) or not SENTENCE.match(node.value):
            return node
        number = f"{next(self.numbers):010b}".replace("0", "k").replace("1", "z")
        return ast.copy_location(ast.Constant(" ".join([number, *PLACE.findall(node.value), number])), node)


class GarbledLoader(SourceFileLoader):
    """Loads a module with its sentences garbled, never from what was compiled before."""

    def get_code(self, fullname: str):
        tree = ast.parse(self.get_data(self.path), self.path)
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
                and ast.get_docstring(node) is not None
            ):
                node.body[0] = ast.copy_location(ast.Expr(ast.Constant("")), node.body[0])
        return compile(ast.fix_missing_locations(Garbler().visit(tree)), self.path, "exec", dont_inherit=True)


class Finder:
    """Finds woodmove and its plugins as usual, and has them loaded by the loader above."""

    @staticmethod
    def find_spec(name, path=None, target=None):
        if name.split("_")[0].split(".")[0] != "woodmove":
            return None
        for finder in sys.meta_path:
            found = None if finder is Finder else finder.find_spec(name, path, target)
            if found is not None:
                if isinstance(found.loader, SourceFileLoader):
                    found.loader = GarbledLoader(found.loader.name, found.loader.path)
                return found
        return None


def main(how: str, lines: list[str]) -> None:
    if how == "garbled":
        sys.meta_path.insert(0, Finder)
    from few_draws import run

    documents = []
    for line in lines:
        out = io.StringIO()
        with contextlib.redirect_stdout(out):
            code = run([*shlex.split(line), "--json"])
        documents.append((code, json.loads(out.getvalue())))
    json.dump(documents, sys.stdout)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
