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
