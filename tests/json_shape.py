"""Checks that an assessment's JSON has the documented keys, in order, and sound values."""
import json
import sys

pairs = json.JSONDecoder(object_pairs_hook=lambda p: p).decode(open(sys.argv[1]).read())
top = dict(pairs)
assert [k for k, _ in pairs] == ["anchorwise", "scenario", "settings", "figures", "floor", "anchors",
                                 "zones", "met", "band_level", "footing", "format"], pairs
assert top["format"] == 1
assert [k for k, _ in top["scenario"]] == ["file", "title"]
assert dict(top["scenario"])["title"] == 'Test bay "7" of the works'
assert [k for k, _ in top["settings"]] == ["step_m", "draws", "seed", "precision", "solver"]
assert top["figures"] == "site"
floor = dict(top["floor"])
for key in ["cells", "p50_m", "p95_m", "worst_cell_p95_m", "worst_at_m", "fix_share",
            "ambiguous_share", "vertical_p50_m", "vertical_p95_m"]:
    assert key in floor, key
assert floor["vertical_p95_m"] is None and len(floor["worst_at_m"]) == 3
for anchor in top["anchors"]:
    assert [k for k, _ in anchor] == ["name", "at_m", "used_share"]
    assert 0 <= dict(anchor)["used_share"] <= 1
footing = dict(top["footing"])
assert footing["kind"] == "none" and footing["systems"] == 3 and footing["points"] == 0
west, hook = (dict(z) for z in top["zones"])
for zone in west, hook:
    for key in ["name", "tag", "cells", "p50_m", "p95_m", "p95_low_m", "p95_high_m", "band_low_m",
                "band_high_m", "worst_cell_p95_m", "worst_at_m", "share_meeting", "odds", "odds_low",
                "odds_high", "need", "met", "draws_to_settle", "vertical_p50_m", "vertical_p95_m",
                "on_level"]:
        assert key in zone, key
    assert zone["on_level"] is None
    assert zone["p95_low_m"] <= zone["p95_m"] <= zone["p95_high_m"]
    assert abs(zone["band_low_m"] / footing["low"] / zone["p95_m"] - 1) < 1e-12
    assert abs(zone["band_high_m"] / footing["high"] / zone["p95_m"] - 1) < 1e-12
    assert zone["odds_low"] <= zone["odds"] <= zone["odds_high"]
assert dict(west["need"])["share"] is None and dict(hook["need"])["share"] == 0.5
assert west["vertical_p95_m"] is None and hook["vertical_p95_m"] > 0
