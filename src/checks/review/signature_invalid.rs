//! An approval whose signature is missing or does not hold.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::ledger::Fault;
use crate::compute::currency::signature::Refusal;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "signature-invalid",
    summary: "an approval lacks the signature of a role that has a key, or the signature does not hold",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("signature_invalid.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (ledger, faults) in case.catalog.ledgers.iter().zip(&case.facts.currency.faults) {
        for fault in faults {
            let (row, label, why, help) = match fault {
                Fault::Unsigned(row) => {
                    (row, "not signed", "has a key and did not sign", "approve again with `--key`, or take the key out of pack.yaml")
                }
                Fault::NoKey(row) => (
                    row,
                    "no key to judge by",
                    "signed, and pack.yaml has no key for it",
                    "put the public key back into pack.yaml, under `sign-off`",
                ),
                Fault::Signature(row, Refusal::Key) => (
                    row,
                    "unreadable key",
                    "signed, and its key in pack.yaml cannot be read",
                    "write the public key as PEM, as `openssl pkey -pubout` prints it",
                ),
                Fault::Signature(row, Refusal::Form) => {
                    (row, "no signature", "signed in a form that is no signature", "bring the entry back as it was written")
                }
                Fault::Signature(row, Refusal::Wrong) => (
                    row,
                    "does not hold",
                    "did not sign this: the entry or the key is another",
                    "find out who wrote the entry; approve again with the right key",
                ),
                _ => continue,
            };
            let Some(entry) = ledger.entries.get(*row) else { continue };
            let message = format!("approval of `{}`: the role `{}` {why}", entry.approval.document, entry.approval.role);
            sink.report(entry.at("role"), label, message).help(help);
        }
    }
}
