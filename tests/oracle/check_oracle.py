#!/usr/bin/python3
"""The oracle against published and derived values, so that it may judge the program."""

import argparse
import os
import sys
import unittest

import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import oracle  # noqa: E402


def options(**changes):
    out = dict(good=70, spread=3, warmer=0, grown_under=None, start=None, variety=None, season=None)
    return argparse.Namespace(**{**out, **changes})


class Curve(unittest.TestCase):
    def test_seattle_days(self):
        # Derived: the closed form of Rymes & Myers 2001 (Solar Energy 71:225) for Seattle's tmax.
        months = [7.30, 8.81, 10.92, 13.39, 16.84, 19.72, 23.26, 23.50, 20.18, 14.39, 9.30, 6.45]
        days = oracle.curve_matrix() @ months
        for day, value in ((1, 6.500449), (15, 7.270360), (32, 8.064915), (105, 13.255040),
                           (196, 23.381960), (213, 24.070800), (355, 6.159293)):
            self.assertAlmostEqual(days[day - 1], value, delta=1e-6)
        self.assertEqual(days.argmax() + 1, 213)

    def test_month_means_come_back(self):
        rng = np.random.default_rng(1)
        months = rng.uniform(-30, 40, 12)
        days, at = oracle.curve_matrix() @ months, 0
        for mean, length in zip(months, oracle.MONTH_DAYS):
            self.assertAlmostEqual(days[at:at + length].mean(), mean, delta=1e-10)
            at += length


class Day(unittest.TestCase):
    def test_degree_days(self):
        # University of California Statewide IPM Program, published daily values for a CIMIS
        # station, 2020; single sine, 50 and 70 degF, horizontal cutoff.
        for lo, hi, value in ((38, 55, 1.19), (36, 67, 5.71), (33, 65, 4.60), (41, 50, 0.00),
                              (50, 69, 9.50), (52, 73, 12.01), (58, 78, 15.75), (60, 96, 17.69),
                              (71, 103, 20.00), (44, 76, 10.00), (40, 74, 8.79), (45, 78, 10.62)):
            rate, _ = oracle.respond((50, 70, 200, 300), 1.0, np.array([float(lo)]),
                                     np.array([float(hi)]))
            self.assertAlmostEqual(rate[0] * 20, value, delta=0.00501)

    def test_fits(self):
        # Derived values of the fit of a day at full swing.
        for band, lo, hi, value in (((0, 12, 22, 30), 10, 20, .967688513),
                                    ((0, 12, 22, 30), 5, 15, .773278424),
                                    ((0, 12, 22, 30), -5, 5, .132629119),
                                    ((0, 12, 22, 30), 18, 34, .5), ((0, 12, 22, 30), 14, 20, 1),
                                    ((0, 12, 22, 30), 25, 40, .158903051),
                                    ((0, 12, 22, 30), 12, 12, 1),
                                    ((5, 15, 25, 35), 8, 24, .793360052),
                                    ((0, 10, 18, 27), -2, 10, .435264320),
                                    ((10, 18, 26, 35), 20, 35, .646085363)):
            _, fit = oracle.respond(band, 1.0, np.array([float(lo)]), np.array([float(hi)]))
            self.assertAlmostEqual(fit[0], value, delta=1e-9)

    def test_shelter(self):
        lo, hi = oracle.under_shelter((8, 2, 28, 4), np.array([0., 7, 9, 30]),
                                      np.array([5., 20, 40, 31]))
        self.assertEqual(list(lo), [2, 8, 9, 30])
        self.assertEqual(list(hi), [5, 20, 36, 30])

    def test_normal_distribution(self):
        # Table values of the standard normal distribution (from memory).
        phi = oracle.NormalCdf()
        for x, value in ((0, .5), (1, .841344746069), (-1.96, .024997895148), (3, .998650101968)):
            self.assertAlmostEqual(float(phi(np.array(x))), value, delta=1e-11)


class Sowing(unittest.TestCase):
    def sheet(self, days=10.0, at_most=None):
        sheet = oracle.Sheet.__new__(oracle.Sheet)
        sheet.swing, sheet.chilling, sheet.stage_names = 1.0, None, ["only"]
        sheet.shelters = {None: (-np.inf, np.inf, np.inf, np.inf)}
        stage = dict(shelter=None, transplant=False, days=days, at_most=at_most or int(3 * days),
                     band=(0, 10, 20, 30), dies_below=-np.inf, chills=False)
        sheet.varieties = [dict(name="v", bolts=None, stages=[stage])]
        sheet.seasons = [dict(name="s", sow=(330, 20), start="nursery", order=[0])]
        return sheet

    def run_constant(self, temperature, **sheet):
        model = oracle.Model(self.sheet(**sheet), options())
        results, picks = model.run(np.full((1, 24), float(temperature)), np.array([False]))
        return {k: v[0] for k, v in results["v", "s"].items()}, picks["s"][0]

    def test_all_year_good(self):
        result, pick = self.run_constant(15)
        self.assertEqual((result["from"], result["to"], result["days"]), (0, 364, 365))
        self.assertEqual((result["best"], result["tenths"], result["growing"], pick),
                         (330, 1000, 10, 1))

    def test_half_speed_takes_twice_as_long(self):
        result, pick = self.run_constant(5)
        self.assertEqual((result["growing"], result["tenths"], result["days"], pick),
                         (20, 500, 0, 101))
        self.assertEqual(result["limit"], 1)

    def test_too_slow_never_matures(self):
        result, pick = self.run_constant(3)  # 34 days, 30 allowed
        self.assertEqual((result["limit"], result["best"], result["growing"], pick),
                         (oracle.NEVER, -1, 0, 0))

    def test_too_warm(self):
        result, _ = self.run_constant(25)
        self.assertEqual((result["limit"], result["tenths"], result["growing"]), (2, 500, 10))


class Windows(unittest.TestCase):
    def test_across_new_year(self):
        good = np.zeros((2, 365), bool)
        good[0, 360:], good[0, :5], good[1, 100:103] = True, True, True
        start, end, days = oracle.Model.window(good, np.array([2, 101]), np.array([True, True]))
        self.assertEqual((list(start), list(end), list(days)), ([360, 100], [4, 102], [10, 3]))

    def test_the_first_end_is_found(self):
        rng = np.random.default_rng(2)
        rate = rng.uniform(0, 1, (3, 365)) * (rng.uniform(0, 1, (3, 365)) > 0.4)
        sums = oracle.running(rate)
        start = np.broadcast_to(np.arange(365), (3, 365))
        end = oracle.stage_end(sums, start, 9.5, 29)
        for cell in range(3):
            for sow in range(0, 365, 7):
                total, day = 0.0, sow
                while total < 9.5 - 1e-6 and day - sow < 30:
                    total += rate[cell, day % 365]
                    day += 1
                self.assertEqual(end[cell, sow], day if total >= 9.5 - 1e-6 else sow + 30)


class Judging(unittest.TestCase):
    """The judge accepts the oracle's own answer and no answer that is off by anything real."""

    def setUp(self):
        sheet = Sowing().sheet(days=30.5)
        sheet.varieties[0]["stages"][0]["dies_below"] = -2.0
        self.sheet, self.model = sheet, oracle.Model(sheet, options())
        months = 12 + 11 * np.cos(2 * np.pi * (np.arange(12) - 6.4) / 12)
        normals = np.concatenate([months - 4, months + 5])[None]
        sheet.seasons[0]["sow"] = (90, 300)
        results, _ = self.model.run(normals, np.array([False]))
        self.bands = oracle.bands_of(results["v", "s"])[:, 0]
        lo, hi = self.model.days(normals)
        years = [self.model.score_year(sheet.varieties[0], "nursery", lo, hi, slips)
                 for slips in oracle.Judge.clocks(1)]
        self.judge = oracle.Judge(self.model, years, 0, sheet.seasons[0], False)

    def test_own_answer(self):
        self.assertGreater(self.bands[4], 30)
        self.assertIsNone(self.judge.complaint(self.bands))

    def test_changed_answers(self):
        for changes in (dict(score=-2), dict(score=2), dict(best_sow=25, harvest=25),
                        dict(best_sow=200), dict(sow_from=1, window_days=-1),
                        dict(sow_from=-1, window_days=1), dict(sow_to=1, window_days=1),
                        dict(sow_to=-1, window_days=-1), dict(window_days=1),
                        dict(transplant=self.bands[1] + 3), dict(harvest=1),
                        dict(harvest=1, growing_days=1), dict(limit=oracle.FROST),
                        dict(frost_risk=2), dict(bolt_risk=2), dict(best_sow=-self.bands[1])):
            bands = self.bands.copy()
            for key, by in changes.items():
                bands[oracle.BANDS.index(key)] += by
            self.assertIsNotNone(self.judge.complaint(bands), changes)

    def test_picks(self):
        window = {0: [90, 0, 0, 0, 6], 1: [80, 0, 0, 0, 7], 2: [55, 0, 0, 0, 0]}
        for order, right in (([0, 1, 2], 2), ([0, 2], 1), ([2], 103)):
            for code in (0, 1, 2, 3, 101, 102, 103):
                said = oracle.pick_complaint(code, order, window.get)
                self.assertEqual(said is None, code == right, (order, code))


if __name__ == "__main__":
    unittest.main()
