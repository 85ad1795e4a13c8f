import pytest

from tests.analysis.film.making import KINDS, make


@pytest.fixture(scope="session")
def film_of_kind(tmp_path_factory):
    """Gives the path of a film of a kind, made once."""
    folder = tmp_path_factory.mktemp("films")
    made = {}

    def of(name):
        if name not in made:
            kind = KINDS[name]
            made[name] = make(folder / (name.replace(" ", "_") + kind.suffix), kind)
        return made[name]

    return of
