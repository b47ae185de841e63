//! One thing done wrong in a job: a deed left out, two changed places, one done twice.

use crate::garage::Tape;
use crate::job::Job;

/// What is done wrong.
#[derive(Clone, Copy, Debug)]
pub enum Slip {
    /// The deed is left out.
    LeftOut(usize),
    /// The two deeds change places.
    Swapped(usize, usize),
    /// The deed is done again as a step of its own, after that many more steps.
    Twice(usize, usize),
}

/// Slips of a job: every deed left out, swapped with the next and with one at random, and done again at once
/// and later.
pub fn slips(job: &Job, tape: &mut Tape<'_>) -> Vec<Slip> {
    let deeds = job.spots().len();
    let mut slips = Vec::new();
    for deed in 0..deeds {
        slips.push(Slip::LeftOut(deed));
        slips.push(Slip::Twice(deed, 0));
        slips.push(Slip::Twice(deed, 1 + tape.below(8)));
        if deed + 1 < deeds {
            slips.push(Slip::Swapped(deed, deed + 1));
            slips.push(Slip::Swapped(deed, deed + 1 + tape.below(deeds - deed - 1)));
        }
    }
    slips
}

/// The job with a slip in it.
pub fn slipped(job: &Job, slip: Slip) -> Job {
    let mut job = job.clone();
    let spots = job.spots();
    match slip {
        Slip::LeftOut(deed) => {
            let (step, place) = spots[deed];
            job.steps[step].remove(place);
        }
        Slip::Swapped(one, other) => {
            let ((step, place), (far, spot)) = (spots[one], spots[other]);
            let deed = job.steps[step][place].clone();
            job.steps[step][place] = std::mem::replace(&mut job.steps[far][spot], deed);
        }
        Slip::Twice(deed, later) => {
            let (step, place) = spots[deed];
            let again = job.steps[step][place].clone();
            let at = (step + 1 + later).min(job.steps.len());
            job.steps.insert(at, vec![again]);
        }
    }
    job
}
