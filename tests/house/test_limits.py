"""The limits of the house: sizes, imports and names."""

import ast
from statistics import median, quantiles

from tests.house.tree import PACKAGE, body_line_count, modules

MOST_MODULE_LINES = 500
MOST_BODY_LINES = 50
MEDIAN_BODY_LINES = 8
P90_BODY_LINES = 25
DRAWER_NAMES = {"utils", "util", "tools", "common", "helpers", "helper", "lib", "misc"}
CLASS_ENDINGS = ("Manager", "Factory", "Repository")


def _body_counts() -> list[int]:
    return [body_line_count(one) for module in modules() for one in module.functions()]


def test_the_package_was_found() -> None:
    assert len(modules()) > 100
    assert len(_body_counts()) > 500


def test_no_module_is_longer_than_500_lines() -> None:
    long = {
        m.place: m.text.count("\n") for m in modules() if m.text.count("\n") > MOST_MODULE_LINES
    }
    assert not long


def test_no_function_body_is_longer_than_50_lines() -> None:
    long = {
        f"{module.place}:{one.name}": body_line_count(one)
        for module in modules()
        for one in module.functions()
        if body_line_count(one) > MOST_BODY_LINES
    }
    assert not long


def test_half_of_all_functions_have_8_lines_or_fewer() -> None:
    assert median(_body_counts()) <= MEDIAN_BODY_LINES


def test_nine_in_ten_functions_have_25_lines_or_fewer() -> None:
    assert quantiles(_body_counts(), n=10)[-1] <= P90_BODY_LINES


def test_no_function_imports_its_own_package() -> None:
    inside = [
        f"{module.place}:{function.name}"
        for module in modules()
        for function in module.functions()
        for node in ast.walk(function)
        if _imports_own_package(node)
    ]
    assert not inside


def _imports_own_package(node: ast.AST) -> bool:
    if isinstance(node, ast.ImportFrom):
        return node.level > 0 or (node.module or "").split(".")[0] == "graftwright"
    if isinstance(node, ast.Import):
        return any(name.name.split(".")[0] == "graftwright" for name in node.names)
    return False


def test_no_module_is_a_drawer() -> None:
    drawers = [
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*")
        if path.stem.strip("_") in DRAWER_NAMES and (path.is_dir() or path.suffix == ".py")
    ]
    assert not drawers


def test_no_class_is_a_manager_factory_or_repository() -> None:
    named = [
        f"{module.place}:{node.name}"
        for module in modules()
        for node in ast.walk(module.syntax)
        if isinstance(node, ast.ClassDef) and node.name.endswith(CLASS_ENDINGS)
    ]
    assert not named


def test_every_module_says_in_one_line_what_it_is() -> None:
    silent = [
        module.place
        for module in modules()
        if module.syntax.body and not (ast.get_docstring(module.syntax) or "").strip()
    ]
    assert not silent


def test_nothing_in_the_core_prints_or_logs() -> None:
    loud = [
        f"{module.place}:{node.lineno}"
        for module in modules()
        if module.room not in {"cli", "web", "store", "demo"}
        for node in ast.walk(module.syntax)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "print"
    ]
    assert not loud
