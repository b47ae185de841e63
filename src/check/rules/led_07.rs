//! LED-07: every setting that an isolation loses is re-taught; an error where the setting is a matter of safety.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::model::Kind;
use crate::phrase::Phrase;

/// The rule LED-07.
pub(super) struct Led07;

static PAGE: Page = Page {
    code: Code("LED-07"),
    severity: Severity::Warning,
    rule: "every setting that an isolation loses is re-taught; an error where the setting is a matter of safety",
    why: "A window that has lost its end stop closes without its pinch guard, and nobody sees that it has.",
    source: "common practice; practitioners' reports of what is forgotten after a battery was off",
    fails: "- isolate: supply      # loses the window stops\n- restore: supply",
    passes: "- isolate: supply\n- restore: supply\n- re-teach: window-stops",
};

impl Rule for Led07 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked) {
            let open = matches!(said.fault, Fault::Open { .. } | Fault::NotLeft { .. });
            let Some(item) = said.item().filter(|item| open && item.kind() == Kind::Setting) else {
                continue;
            };
            let weighed = |headline: Phrase| {
                let mut finding = PAGE.finding(headline);
                if item.safety {
                    finding.severity = Severity::Error;
                }
                finding
            };
            said.open(weighed).into_iter().for_each(|finding| sink.push(finding));
        }
    }
}
