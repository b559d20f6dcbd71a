"""Read and check all crop files and the organism file.

This is the one way in: a program that starts has sound profiles, or an error that names the file and the key.
"""

from pathlib import Path
from types import MappingProxyType

from bayround.crops.crop_file import read_crop
from bayround.crops.organism_file import read_organisms
from bayround.crops.organisms import Organism
from bayround.crops.profile import CropProfile, Crops
from bayround.crops.toml_table import read_toml


def load_crops(resources: Path | None = None) -> Crops:
    """Read `crops/*.toml` and `organisms.toml` from the resources folder (None: the installed one).

    Raises ValueError naming file and key for anything missing, misspelt, impossible or contradictory.
    """
    if resources is None:
        from bayround.places import resources_dir

        resources = resources_dir()
    crop_paths = sorted((resources / "crops").glob("*.toml"))
    if not crop_paths:
        raise ValueError(f"crops: there is no crop file (*.toml) in {resources / 'crops'}")
    profiles = {profile.key: profile for profile in (read_crop(read_toml(path)) for path in crop_paths)}
    organisms = read_organisms(read_toml(resources / "organisms.toml"), tuple(profiles))
    for profile in profiles.values():
        check_organisms(profile, organisms)
    return Crops(MappingProxyType(profiles), MappingProxyType(organisms))


def check_organisms(profile: CropProfile, organisms: dict[str, Organism]) -> None:
    """Each organism of a crop exists and has a threshold for it; raises ValueError naming file and key."""
    for key in profile.organisms:
        where = f"{profile.key}.toml: organisms: '{key}'"
        if key not in organisms:
            raise ValueError(f"{where} is not in organisms.toml")
        if not organisms[key].thresholds_for(profile.key):
            raise ValueError(
                f"{where} has no threshold for this crop in organisms.toml; "
                'give it at least kind = "presence" if any find is worth acting on'
            )
