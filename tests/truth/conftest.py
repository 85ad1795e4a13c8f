from tests.analysis.film.conftest import film_of_kind  # noqa: F401  (a fixture)
