//! What a search keeps, when it ends, and what it gives back.

use super::*;

/// No arrangement is good enough, and each is of interest.
const OPEN: Aim = Aim { enough: 0.0, floor: f64::NEG_INFINITY };
const MIXED: [f64; 7] = [1.0, 0.9, 0.75, 0.7, 0.5, 0.4, 0.3];

/// A search whose best arrangements have these radii, wherever the circles are.
fn keeping(aim: Aim, kept: &[f64]) -> Search<'static> {
    let mut search = Search::new(&MIXED, aim);
    search.kept = kept.iter().map(|radius| (*radius, search.point.clone())).collect();
    search
}

fn ranks(search: &Search) -> Vec<f64> {
    search.kept.iter().map(|(radius, _)| *radius).collect()
}

/// Two arrangements have the same places.
fn is_same(one: &Point, other: &Point) -> bool {
    one.places().eq(other.places())
}

/// A search whose circles lie somewhere, loosened.
fn scattered(radii: &[f64]) -> Search<'_> {
    let mut search = Search::new(radii, OPEN);
    search.scatter(&mut Seed::new(3));
    search
}

/// The same with another search's circles.
fn from<'a>(other: &Search<'a>) -> Search<'a> {
    let mut search = Search::new(other.radii, OPEN);
    search.point = other.point.clone();
    search
}

/// How much two overlap at most.
fn faults(places: &[[f64; 2]], radii: &[f64]) -> f64 {
    let mut worst: f64 = 0.0;
    for (index, [x, y]) in places.iter().enumerate() {
        for (other, [u, v]) in places.iter().enumerate().take(index) {
            worst = worst.max(radii[index] + radii[other] - (x - u).hypot(y - v));
        }
    }
    worst
}

#[test]
fn the_reach_is_that_of_the_farthest() {
    assert_eq!(reach(&[[3.0, -4.0], [1.0, 0.0], [0.0, 5.25]], &[1.0, 2.0, 0.5]), 6.0);
    assert_eq!(reach(&[[0.3, 0.4], [-0.25, 0.0]], &[0.5, 1.5]), 1.75);
    assert_eq!(reach(&[], &[]), 0.0);
}

#[test]
fn the_disc_has_a_twentieth_more_than_the_radius_of_the_area() {
    // 3² + 4² = 5².
    assert!((Search::new(&[4.0, 3.0], OPEN).disc() - 5.25).abs() < 1e-12);
    assert!((Search::new(&[0.4, 0.3], OPEN).disc() - 0.525).abs() < 1e-12);
}

#[test]
fn a_search_is_idle_once_it_is_within_the_floor() {
    let idle = |radius: f64| keeping(Aim { floor: 3.0, ..OPEN }, &[radius]).is_idle();
    // Twice a ten-thousandth, as what is found may still shrink.
    assert!(idle(2.0) && idle(3.0 * (1.0 - 2.1e-4)));
    assert!(!idle(3.0 * (1.0 - 1.9e-4)) && !idle(3.0 * (1.0 + 1e-3)));
    assert!(!keeping(Aim { floor: 3.0, ..OPEN }, &[]).is_idle());
}

#[test]
fn a_search_is_settled_where_it_is_good_enough_or_out_of_budget_or_idle() {
    let enough = |radius: f64| keeping(Aim { enough: 3.0, ..OPEN }, &[radius]).is_settled();
    assert!(enough(2.0) && enough(3.0 * (1.0 + 0.9e-5)));
    assert!(!enough(3.0 * (1.0 + 1.1e-5)) && !enough(4.0));
    assert!(keeping(Aim { floor: 3.0, ..OPEN }, &[2.0]).is_settled());
    let mut search = keeping(OPEN, &[3.0]);
    search.field.calls = search.plan.calls - 1;
    assert!(!search.is_settled());
    search.field.calls += 1;
    assert!(search.is_settled() && search.is_done());
}

#[test]
fn a_search_is_done_after_so_many_finds() {
    let mut search = keeping(OPEN, &[3.0]);
    search.finds = search.plan.finds - 1;
    assert!(!search.is_done());
    search.finds += 1;
    assert!(search.is_done() && !search.is_settled());
    assert!(keeping(Aim { enough: 3.0, ..OPEN }, &[2.0]).is_done());
}

#[test]
fn the_best_few_that_differ_are_kept_in_order() {
    let mut search = keeping(OPEN, &[]);
    for radius in [5.0, 4.0, 6.0, 4.5] {
        search.keep(radius);
    }
    assert_eq!(ranks(&search), [4.0, 4.5, 5.0, 6.0]);
    // Worse than all that are kept.
    search.keep(6.5);
    assert_eq!(ranks(&search), [4.0, 4.5, 5.0, 6.0]);
    // Within a hundred-thousandth it is the same, whether larger or smaller.
    for radius in [4.5 * (1.0 + 0.9e-5), 4.5 * (1.0 - 0.9e-5), 4.5] {
        search.keep(radius);
        assert_eq!(ranks(&search), [4.0, 4.5, 5.0, 6.0]);
    }
    let other = 4.5 * (1.0 + 1.1e-5);
    search.keep(other);
    assert_eq!(ranks(&search), [4.0, 4.5, other, 5.0]);
    search.keep(3.0);
    assert_eq!(ranks(&search), [3.0, 4.0, 4.5, other]);
}

#[test]
fn only_what_is_clearly_better_makes_earlier_finds_void() {
    for (radius, finds) in
        [(5.0, 3), (4.0, 3), (4.0 * (1.0 - 0.9e-4), 3), (4.0 * (1.0 - 1.1e-4), 0), (3.0, 0)]
    {
        let mut search = keeping(OPEN, &[4.0]);
        search.finds = 3;
        search.keep(radius);
        assert_eq!(search.finds, finds, "{radius}");
    }
    let mut search = keeping(OPEN, &[4.0]);
    for (radius, found) in [(5.0, 5.0), (6.0, 5.0), (4.5, 4.5)] {
        search.keep(radius);
        assert_eq!(search.found, found);
    }
}

#[test]
fn a_descent_promises_where_contacts_close() {
    // Two of radius one close at a radius of two. At the penalty k they overlap by little, the more the softer.
    let radii = [1.0, 1.0];
    let mut off = Vec::new();
    for penalty in [30.0, 200.0] {
        let mut search = Search::new(&radii, OPEN);
        search.point = Point::of(&[[-1.01, 0.0], [1.01, 0.0]], 2.0);
        let (promise, height) = search.descend(penalty, 1e-12, f64::INFINITY);
        let outer = search.point.outer();
        assert!(outer < height && height < 2.0, "{outer} {height} {promise}");
        off.push((promise - 2.0).abs());
    }
    assert!(off[0] < 1e-2 && off[1] < 2e-4, "{off:?}");
}

#[test]
fn scattered_circles_have_found_together() {
    for seed in 1..5 {
        let mut search = Search::new(&MIXED, OPEN);
        (search.stand.height, search.stand.promise, search.stand.radius, search.found) = (1.0, 1.0, 1.0, 1.0);
        search.scatter(&mut Seed::new(seed));
        // Nothing is known of this start.
        let stand = &search.stand;
        assert!([stand.height, stand.promise, stand.radius, search.found].iter().all(|x| x.is_infinite()));
        let places: Vec<[f64; 2]> = search.point.places().collect();
        assert!(places.iter().enumerate().all(|(index, place)| !places[..index].contains(place)));
        // The slope has all but vanished, and nobody has reason to change places.
        let loose = search.plan.loose;
        let mut slope = vec![0.0; search.point.numbers().len()];
        search.field.height(search.point.numbers(), &mut slope, loose);
        assert!(slope.iter().all(|part| part.abs() < 0.05), "{seed}: {slope:?}");
        assert!(!sort(&mut search.point, &MIXED), "{seed}");
    }
}

#[test]
fn an_arrangement_is_judged_by_what_it_promises() {
    let start = scattered(&MIXED);
    let mut first = from(&start);
    assert!(first.judge());
    let (promise, height) = (first.stand.promise, first.stand.height);
    assert!(promise.is_finite() && height <= promise && first.stand.radius.is_finite());
    assert!((2.0 * height - first.stand.soft.outer() - promise).abs() < 1e-12);
    // It may promise less than the one before by up to two thousandths.
    for (share, is_better) in [(1e-3, true), (1.9e-3, true), (2.1e-3, false), (1e-2, false)] {
        let mut search = from(&start);
        search.stand.promise = promise / (1.0 + share);
        assert_eq!(search.judge(), is_better, "{share}");
        assert_eq!(search.stand.radius.is_finite(), is_better, "{share}");
        assert_eq!(is_same(&search.stand.soft, &first.stand.soft), is_better);
        assert_eq!(search.stand.promise == promise, is_better);
    }
}

/// Equal circles anywhere, from where it is a long way down.
fn anywhere(seed: usize) -> Search<'static> {
    let radii = &[1.0; 16];
    let mut search = Search::new(radii, OPEN);
    let (mut seed, disc) = (Seed::new(seed), search.disc());
    let places: Places = radii.iter().map(|_| seed.place(disc)).collect();
    search.point = Point::of(&places, disc);
    search
}

#[test]
fn a_height_that_is_out_of_reach_ends_the_descent_that_judges() {
    let mut ends = 0;
    for seed in 1..20 {
        let judged = |height: f64| {
            let mut search = anywhere(seed);
            // Whatever it promises, it is not pressed.
            (search.stand.height, search.stand.promise) = (height, 0.0);
            assert!(!search.judge());
            search
        };
        let mut all = judged(f64::INFINITY);
        let mut slope = vec![0.0; all.point.numbers().len()];
        let height = all.field.height(all.point.numbers(), &mut slope, SOFT);
        ends += usize::from(!is_same(&judged(height - 0.5).point, &all.point));
    }
    assert!(ends > 5, "{ends}");
}

#[test]
fn a_radius_that_is_out_of_reach_ends_the_descent_that_presses() {
    let mut ends = 0;
    for seed in 1..10 {
        let pressed = |radius: f64| {
            let mut search = anywhere(seed);
            search.kept = vec![(0.1, search.point.clone())];
            search.stand.radius = radius;
            search.press();
            search
        };
        let all = pressed(f64::INFINITY);
        let radius = all.stand.radius;
        ends += usize::from(!is_same(&pressed(radius - 0.5).point, &all.point));
    }
    assert!(ends > 3, "{ends}");
}

#[test]
fn the_first_step_is_a_fifth_of_the_slope_by_the_penalty() {
    // Two that touch nothing: the radius alone falls, by the slope of one, and nothing tells of a curvature.
    for penalty in [3.0, 30.0] {
        let mut search = Search::new(&[1.0, 1.0], OPEN);
        search.point = Point::of(&[[-2.0, 0.0], [2.0, 0.0]], 30.0);
        search.descend(penalty, 0.0, f64::INFINITY);
        assert!((search.point.outer() - (30.0 - 200.0 * 0.2 / penalty)).abs() < 1e-9);
    }
}

#[test]
fn pressing_together_says_whether_it_is_better_and_keeps_what_is_near_the_best() {
    let mut start = scattered(&MIXED);
    start.judge();
    start.point = start.stand.soft.clone();
    let mut first = from(&start);
    assert!(first.press());
    let (radius, known) = (first.stand.radius, first.best());
    assert!((known / radius - 1.0).abs() < 1e-2 && first.found == known);
    for (share, is_better) in [(-1e-3, false), (0.0, false), (0.9e-6, false), (1.1e-6, true), (1e-3, true)] {
        let mut search = from(&start);
        search.stand.radius = radius * (1.0 + share);
        assert_eq!(search.press(), is_better, "{share}");
        assert_eq!(search.stand.radius == radius, is_better || share == 0.0);
    }
    // Beyond a thousandth of the best it is not looked at any further.
    for (share, is_near) in [(-1e-2, true), (0.9e-3, true), (1.1e-3, false), (1e-1, false)] {
        let mut search = from(&start);
        search.kept = vec![(radius / (1.0 + share), search.point.clone())];
        search.press();
        assert_eq!(search.found.is_finite(), is_near, "{share}");
    }
}

#[test]
fn hops_end_when_so_many_led_nowhere() {
    let radii = [1.0, 0.8, 0.7, 0.6, 0.5];
    let mut search = Search::new(&radii, OPEN);
    let mut seed = Seed::new(5);
    search.scatter(&mut seed);
    search.hop_on(&mut seed);
    assert_eq!(search.finds, 1);
    assert!(search.field.calls < search.plan.calls / 2);
    let (soft, radius) = (search.stand.soft.clone(), search.stand.radius);
    search.hop_on(&mut seed);
    // None was better: 2.5 · 5 hops from where the first ones ended, and one more, all drawn from one seed.
    assert!(search.stand.radius == radius && search.finds == 2);
    let (mut same, mut hops) = (Seed::new(5), Hops::default());
    let mut from_seed = Search::new(&radii, OPEN);
    from_seed.scatter(&mut same);
    from_seed.hop_on(&mut same);
    for _ in 0..13 {
        hops.hop(&mut soft.clone(), &radii, &mut same);
    }
    assert_eq!(seed.next(), same.next());
}

#[test]
fn a_start_that_comes_to_the_best_is_a_find() {
    let radii = [1.0, 0.8, 0.7, 0.6, 0.5];
    let again = |known: Option<f64>| {
        let mut search = Search::new(&radii, OPEN);
        let mut seed = Seed::new(5);
        search.kept.extend(known.map(|radius| (radius, search.point.clone())));
        search.scatter(&mut seed);
        search.hop_on(&mut seed);
        (search.found, search.finds)
    };
    let (found, finds) = again(None);
    assert_eq!(finds, 1);
    assert_eq!(again(Some(found / (1.0 + 0.9e-4))), (found, 1));
    assert_eq!(again(Some(found / (1.0 + 1.1e-4))), (found, 0));
    assert_eq!(again(Some(found / 1.5)).1, 0);
}

#[test]
fn an_equal_start_is_pressed_together_as_it_is() {
    // Seven equal ones in a hexagon are the best there is: a radius of three.
    let radii = [1.0; 7];
    let hexagon = starts(&radii).next().unwrap();
    let mut search = Search::new(&radii, OPEN);
    search.begin(&hexagon);
    assert!((search.best() / 3.0 - 1.0).abs() < 1e-4, "{}", search.best());
    assert!(search.stand.radius < 3.0 * (1.0 + 1e-3));
    // One of mixed sizes is not, but softened, and judged.
    let mut search = Search::new(&MIXED, OPEN);
    let start = starts(&MIXED).next().unwrap();
    search.begin(&start);
    assert!(search.best() < reach(&start, &MIXED) && search.stand.promise.is_finite());
}

#[test]
fn what_is_as_good_as_the_best_is_finished_with_closed_contacts() {
    let mut search = scattered(&MIXED);
    search.judge();
    let point = search.kept[0].1.clone();
    let radius = search.best();
    let shares = [0.0, 0.9e-4, 1.1e-4];
    search.kept = shares.iter().map(|share| (radius * (1.0 + share), point.clone())).collect();
    let finished = search.finish();
    assert_eq!(finished.len(), 2);
    for places in finished {
        assert!(faults(&places, &MIXED) < CLOSED);
        assert!(reach(&places, &MIXED) < search.point.outer() + CLOSED);
    }
}

#[test]
fn contacts_are_closed_until_they_are_and_no_longer() {
    let close = |is_plain: bool| {
        let mut search = scattered(&MIXED);
        search.judge();
        search.point = search.kept[0].1.clone();
        search.field.calls = 0;
        if is_plain {
            search.field.release();
            search.descend(FIRM, 1e-9, f64::INFINITY);
            for _ in 0..8 {
                search.field.tighten(&mut search.point);
                search.descend(FIRM, 1e-13, f64::INFINITY);
            }
        } else {
            search.close();
        }
        (search.point.outer(), search.field.calls)
    };
    let ((all, most), (some, calls)) = (close(true), close(false));
    assert!(calls < most, "{calls} of {most}");
    assert!((all - some).abs() < 10.0 * CLOSED, "{all} {some}");
}

#[test]
fn what_is_found_is_never_worse_than_a_start() {
    for radii in [MIXED.to_vec(), vec![1.0, 0.7, 0.6, 0.4], vec![1.0; 10]] {
        let least = starts(&radii).map(|start| {
            // A start may overlap: spread until none do.
            let mut spread: f64 = 1.0;
            for (index, [x, y]) in start.iter().enumerate() {
                for (other, [u, v]) in start.iter().enumerate().take(index) {
                    spread = spread.max((radii[index] + radii[other]) / (x - u).hypot(y - v).max(1e-12));
                }
            }
            let places: Places = start.iter().map(|[x, y]| [x * spread, y * spread]).collect();
            reach(&places, &radii)
        });
        let least = least.fold(f64::INFINITY, f64::min);
        let area = radii.iter().map(|radius| radius * radius).sum::<f64>().sqrt();
        // The first that comes will do, to be quick.
        let found = best(&radii, Aim { enough: least, ..OPEN });
        assert!(!found.is_empty());
        for places in found {
            assert_eq!(places.len(), radii.len());
            assert!(faults(&places, &radii) < 1e-6);
            let round = reach(&places, &radii);
            assert!(round < least * (1.0 + 2e-4) && round > area, "{round} {least}");
        }
    }
}

#[test]
fn nothing_is_found_within_the_floor() {
    assert!(best(&MIXED, Aim { floor: 100.0, ..OPEN }).is_empty());
}
