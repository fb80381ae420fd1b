import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import trees

KIND = np.array(["Millwood", "millwood", "wild", "Millwood", "Calhoun", ""])
COUNTED = np.array([1, 1, 1, 0, 1, 0])
CROP = np.array([40.0, 10.0, 25.0, 999.0, 60.0, 0.0])
YEARS = np.array([2, 2, 1, 0, 1, 0])
TREE = np.array([1, 1, 2, 1, 3, 0])
OF_KIND = {"kind": KIND, "counted": COUNTED, "crop": CROP}
SUMMARIES = (trees.mean_crop, trees.lowest_crop, trees.highest_crop, trees.spread_of_crop)


def test_dry_weight_and_whole_crop():
    assert trees.dry_weight(weight=100, moisture=0.125) == 87.5
    assert trees.whole_crop(dry_weight=30, picked=0.6) == pytest.approx(50)
    with pytest.raises(OutOfRange, match=r"picked is 0 fraction; allowed is 0.05 to 1"):
        trees.whole_crop(dry_weight=30, picked=0)
    with pytest.raises(OutOfRange, match=r"moisture is 12.47 fraction; allowed is 0 to 0.7"):
        trees.dry_weight(weight=100, moisture=12.47)


def test_records_and_trees_of_a_kind_count_only_counted_rows_in_any_case():
    assert trees.records(kind=KIND, counted=COUNTED, key="Millwood") == 2
    assert trees.trees(kind=KIND, counted=COUNTED, years=YEARS, key="Millwood") == 1
    assert trees.trees(kind=KIND, counted=COUNTED, years=YEARS, key="CALHOUN") == 1


def test_crop_of_a_kind():
    mean, lowest, highest, spread = (summary(**OF_KIND, key="Millwood") for summary in SUMMARIES)
    assert (mean, lowest, highest) == (25, 10, 40)
    assert spread == pytest.approx(30 / 2**0.5)


@pytest.mark.parametrize("summary", SUMMARIES)
def test_a_kind_without_records_has_no_crop(summary):
    assert summary(**OF_KIND, key="keawe") == 0


def test_one_record_has_no_spread():
    assert trees.spread_of_crop(**OF_KIND, key="wild") == 0


def test_records_and_mean_of_a_tree():
    assert trees.records_of_tree(tree=TREE, counted=COUNTED, number=1) == 2
    assert trees.mean_of_tree(tree=TREE, counted=COUNTED, crop=CROP, number=1) == 25
    assert trees.mean_of_tree(tree=TREE, counted=COUNTED, crop=CROP, number=9) == 0


def test_a_row_is_on_or_off_only_with_two_years_of_its_tree():
    mean = np.array([25.0, 25.0, 25.0, 25.0, 60.0, 0.0])
    row = {"counted": COUNTED, "crop": CROP, "years": YEARS, "tree_mean": mean}
    np.testing.assert_array_equal(trees.on_year(**row), [1, 0, 0, 0, 0, 0])
    np.testing.assert_array_equal(trees.off_year(**row), [0, 1, 0, 0, 0, 0])


# Crops read in the sources, ratios worked by hand.
@pytest.mark.parametrize(("off", "on", "ratio"), [((4.8,), (15.8, 14.7), 0.31), ((39.5, 12.0), (146.0, 180.0), 0.16)])
def test_off_year_to_on_year(off, on, ratio):
    found = trees.off_to_on(
        off_crop_total=sum(off), off_records=len(off), on_crop_total=sum(on), on_records=len(on), when_unknown=1
    )
    assert found == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize(("off_records", "on_records", "on_total"), [(0, 2, 30), (1, 0, 0), (1, 2, 0)])
def test_off_year_to_on_year_not_seen(off_records, on_records, on_total):
    found = trees.off_to_on(
        off_crop_total=0, off_records=off_records, on_crop_total=on_total, on_records=on_records, when_unknown=0.4
    )
    assert found == 0.4


def test_a_lost_off_year_is_a_ratio_of_nothing():
    assert trees.off_to_on(off_crop_total=0, off_records=1, on_crop_total=30, on_records=1, when_unknown=0.4) == 0


# Crops read in the sources, indices worked by hand.
@pytest.mark.parametrize(
    ("crops", "expected"),
    [
        ([15.8, 4.8, 14.7], [0.534, 0.508]),
        ([146, 39.5, 180, 12], [0.574, 0.640, 0.875]),
        ([32.4, 63.8, 22, 46], [0.326, 0.487, 0.353]),
    ],
)
def test_alternate_index(crops, expected):
    first, second = np.array(crops[:-1]), np.array(crops[1:])
    found = trees.alternate_index(first=first, second=second)
    np.testing.assert_allclose(found, expected, atol=0.0006)
    np.testing.assert_array_equal(found, trees.alternate_index(first=second, second=first))


def test_alternate_index_of_nothing_and_of_a_lost_year():
    np.testing.assert_array_equal(
        trees.alternate_index(first=np.array([0.0, 0.0]), second=np.array([0.0, 7.0])), [0, 1]
    )


# Means of the crops read in the sources, worked by hand.
@pytest.mark.parametrize(
    ("crops", "mean"),
    [([15.8, 4.8, 14.7], 11.767), ([58.3, 0, 146, 39.5, 180], 84.76), ([26.4, 0, 32.4, 63.8, 22], 28.92)],
)
def test_mean_of_published_crops(crops, mean):
    ones = np.ones(len(crops))
    found = trees.mean_crop(kind=np.full(len(crops), "x"), counted=ones, crop=np.array(crops), key="x")
    assert found == pytest.approx(mean, abs=0.0005)


def test_a_tree_is_young_until_its_kind_is_in_full_crop():
    kinds, full_ages = np.array(["Wild", "Good"], dtype=object), np.array([20.0, 12.0])
    ages = {age: trees.not_full_grown(age=age, kind="good", kinds=kinds, full_ages=full_ages) for age in (5, 11.9, 12)}
    assert ages == {5: 1, 11.9: 1, 12: 0}


@pytest.mark.parametrize(("own_state", "rows"), [("-", 2), ("mend", 2), ("ok", 0)])
def test_young_trees_tell_where_the_plan_rests_on_them(own_state, rows):
    column = {"kind": np.array(["Wild", "wild", "Good", None], dtype=object), "young": np.array([1.0, 1.0, 1.0, 0.0])}
    assert trees.young_planned_on(**column, key="Wild", own_state=own_state) == rows
