"""`bayround salvage`: what can be read of a damaged farm file, into a new one."""

from __future__ import annotations

import shutil


def test_salvage_writes_a_new_file_that_is_sound(run, sample_file, tmp_path):
    damaged, target = tmp_path / "hill.bayround", tmp_path / "again.bayround"
    shutil.copyfile(sample_file, damaged)
    with damaged.open("rb+") as stream:
        stream.seek(4096 * 40)
        stream.write(b"\xff" * 4096)
    before = damaged.read_bytes()
    assert "damaged" in run("check", damaged).err
    ended = run("salvage", damaged, "--to", target, "--backup", sample_file)
    assert ended.code == 0, ended.err
    assert "records read from the damaged file" in ended.out
    assert run("check", target).code == 0
    assert damaged.read_bytes() == before
    assert "already a file" in run("salvage", damaged, "--to", target).err
