//! The sign-off ledger: whether its chain and its signatures hold, and how it is written.
//!
//! Each entry carries the digest of the one before, the first that of the name of the pack, and the file that of the
//! last, so an entry that was edited, taken out, put in or cut off is found. Whoever rewrites the whole file is found
//! by signatures alone, which is why a house that needs proof signs with keys.

use super::signature::{self, Refusal};
use crate::model::content::Digest;
use crate::model::docs::{Approval, Ledger, Pack};

/// What is wrong with a ledger. Entries are given by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It belongs to another pack.
    Foreign,
    /// An entry does not follow from the one before.
    Chain(usize),
    /// The last entry is not the one that the file names.
    Head,
    /// A role that has a key did not sign.
    Unsigned(usize),
    /// A role that has no key signed, so that nobody can judge it.
    NoKey(usize),
    /// A signature does not hold.
    Signature(usize, Refusal),
}

/// What the first entry of the ledger of a pack carries in place of an entry before.
pub fn start(pack: &str) -> Digest {
    Digest::of(format!("sign-off ledger of {pack}").as_bytes())
}

/// What the next entry has to carry.
pub fn last(pack: &str, approvals: &[Approval]) -> Digest {
    approvals.last().map_or_else(|| start(pack), Approval::digest)
}

/// Everything that is wrong. After a break of the chain nothing more is judged.
pub fn faults(ledger: &Ledger, pack: &Pack) -> Vec<Fault> {
    if ledger.of.value != pack.head.id.value {
        return vec![Fault::Foreign];
    }
    let mut before = start(&ledger.of.value);
    let mut faults = Vec::new();
    for (i, entry) in ledger.entries.iter().enumerate() {
        if entry.approval.before != before {
            return vec![Fault::Chain(i)];
        }
        before = entry.approval.digest();
        faults.extend(signed(i, &entry.approval, pack));
    }
    if ledger.head.value != before {
        return vec![Fault::Head];
    }
    faults
}

fn signed(row: usize, approval: &Approval, pack: &Pack) -> Option<Fault> {
    let keys: Vec<&str> = pack.sign_off.keys.iter().filter(|(role, _)| *role.value == *approval.role).map(|(_, key)| &*key.value).collect();
    let Some(signature) = &approval.signature else {
        return (!keys.is_empty()).then_some(Fault::Unsigned(row));
    };
    let payload = approval.payload();
    let mut refusal = None;
    for key in keys {
        match signature::verify(key, signature, &payload) {
            Ok(()) => return None,
            Err(why) => refusal = Some(why),
        }
    }
    Some(refusal.map_or(Fault::NoKey(row), |why| Fault::Signature(row, why)))
}

/// The file for these approvals, which the caller has chained.
pub fn render(pack: &str, approvals: &[Approval]) -> String {
    let quoted = |text: &str| serde_json::Value::String(text.to_string()).to_string();
    let mut out = format!(
        "# Sign-off ledger. `fascicle approve` appends to it and `fascicle verify` judges it; each entry carries the digest of\n\
         # the one before, so editing it by hand breaks it.\nledger: {pack}\nhead: {}\nentries:",
        quoted(&last(pack, approvals).to_string())
    );
    if approvals.is_empty() {
        out.push_str(" []");
    }
    out.push('\n');
    for approval in approvals {
        for (i, (key, text)) in approval.fields().into_iter().enumerate() {
            let lead = if i == 0 { "  - " } else { "    " };
            let bare = matches!(key, "document" | "edition" | "role" | "date" | "review-by");
            out.push_str(&format!("{lead}{key}: {}\n", if bare { text } else { quoted(&text) }));
        }
    }
    out
}
