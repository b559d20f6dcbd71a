"""`bayround import`: a preview first, `--yes` lets it in, `--take-back` takes it out, wrong words are told in words."""

from __future__ import annotations

PICKS = "date;bay;kg\n20.11.2026;{bay};12,5\nsoon;{bay};3\n"


def test_look_let_in_list_and_take_back(run, farm_file, tmp_path):
    from bayround.actions import farm as farm_actions
    from bayround.facts.season import walk_order
    from bayround.records import read_parts

    farm = farm_actions.open_farm(farm_file, read_only=True)
    setup = read_parts.read_setup(farm.store)
    farm.close()
    bay = walk_order(setup.houses, setup.bays)[0]
    house = next(one.name for one in setup.houses if one.id == bay.house_id)
    before = farm_file.read_bytes()
    thing = tmp_path / "picks.csv"
    thing.write_text(PICKS.format(bay=f"{house} · {bay.name}"), encoding="utf-8")
    looked = run("import", farm_file, thing, "--explanation", "for the test")
    assert (looked.code, looked.err) == (0, "")
    assert "3: kg → Kilograms" in looked.out
    assert "no day can be read" in looked.out
    assert "1 new, 1 refused" in looked.out
    assert "With --yes it comes in" in looked.out
    assert farm_file.read_bytes() == before
    done = run("import", farm_file, thing, "--explanation", "for the test", "--yes")
    assert "Brought in as import 1" in done.out
    again = run("import", farm_file, thing, "--yes")
    assert "There is nothing to bring in." in again.out
    assert "came in before" in again.out
    assert run("import", farm_file).out.startswith("1: ")
    back = run("import", farm_file, "--take-back", "1")
    assert (back.code, "1 record taken out" in back.out) == (0, True)
    assert "taken back" in run("import", farm_file).out


def test_what_it_needs_and_what_is_wrong(run, farm_file, tmp_path):
    odd = tmp_path / "odd.csv"
    odd.write_text("one,other\na,b\n")
    asked = run("import", farm_file, odd)
    assert (asked.code, "Say its kind" in asked.out) == (1, True)
    for words, code in (
        (("--column", "1=nonsense"), 1), (("--scout", "Nobody Known"), 1), (("--house", "Nowhere"), 1),
        (("--day", "soon"), 2), (("--take-back", "1"), 2), (("--sheet", "none"), 1),
    ):  # fmt: skip
        ended = run("import", farm_file, odd, *words)
        assert ended.code == code, words
        assert "Traceback" not in ended.err
    assert run("import", farm_file, tmp_path / "missing.xlsx").code == 1


def test_one_column_said_is_enough_and_a_column_that_is_not_there_is_refused(run, farm_file, tmp_path):
    """A list of picks whose kilograms stand under a heading of the farm's own."""
    thing = tmp_path / "own.csv"
    thing.write_text("day;bay;in the crates\n20.11.2026;Bay 99;12,5\n", encoding="utf-8")
    asked = run("import", farm_file, thing)
    assert (asked.code, "--kind, --column" in asked.out) == (1, True)
    said = run("import", farm_file, thing, "--column", "3=kg")
    assert (said.code, "3: in the crates → Kilograms" in said.out, "1 refused" in said.out) == (0, True, True)
    ended = run("import", farm_file, thing, "--column", "9=kg")
    assert ended.code == 1
    assert "no column 9" in ended.err
    assert "3 in the crates" in ended.err


def test_kilos_are_kilograms(run, farm_file, tmp_path):
    thing = tmp_path / "kilos.csv"
    thing.write_text("Day;Bay;Kilos\n20.11.2026;Bay 99;12,5\n", encoding="utf-8")
    assert "3: Kilos → Kilograms" in run("import", farm_file, thing).out
