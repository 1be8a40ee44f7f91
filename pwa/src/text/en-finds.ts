/** What finds, hunts and their way to the laptop say, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { counted, listed } = writing("en");

export const findTexts = {
  finds: {
    title: "Finds",
    hunts: "Hunts",
    back: "Back to weighing",
    backToList: "All finds",
    loading: "Opening the finds …",
    opening: "The finds open as soon as this device has loaded its engine. Weighing works in the meantime.",
    pages: "Finds and hunts",

    keep: (label: string) => `Keep ${label}`,
    keepNone: "Nothing to keep yet",
    keepFor: (hunt: string) => `Hunt: ${hunt}`,
    keepPaused: (hunt: string) => `Paused: ${hunt}`,
    keeping: "Saving …",
    kept: (label: string) => `${label} is kept`,
    details: "Add details",

    onlyHereLabel: "What is only here",
    onlyHere: (n: { finds: number; hunts: number; others: number; photos: number }, onDesk: boolean) => {
      const parts = [
        n.finds > 0 ? counted(n.finds, "find", "finds") : "",
        n.hunts > 0 ? counted(n.hunts, "hunt", "hunts") : "",
        n.others > 0 ? counted(n.others, "other record", "other records") : "",
        n.photos > 0 ? counted(n.photos, "photo", "photos") : "",
      ].filter(Boolean);
      return `${listed(parts)} only ${onDesk ? "in this browser" : "on this phone"}`;
    },
    allThere: "Everything is on the laptop too.",
    sendingEntries: "Sending to the laptop …",
    sendingPhotos: (done: number, of: number) => `Sending photos: ${done} of ${of}`,
    soon: "Sent in a moment.",
    unread: (n: number) =>
      `The laptop has ${counted(n, "photo", "photos")} and reads ${n === 1 ? "it" : "them"} once more from its disk.`,
    waiting: "Will sync when the laptop is in reach.",
    syncFailed: "Sync stopped unexpectedly. Nothing is lost; reload the page.",
    laptopSays: (sentence: string) => `The laptop says: ${sentence}`,
    endedStore: "The laptop’s news couldn’t be stored on this phone.",
    leftOver: "The laptop didn’t take everything:",
    sendNow: "Send now",
    unreadable: (n: number) =>
      `${counted(n, "entry", "entries")} on this phone can’t be read. What the laptop has is not touched by this.`,
    unreadableThere: (n: number) =>
      `The laptop has ${counted(n, "entry", "entries")} that this app can’t read, so a find or hunt may lack something here. Nothing is lost: the laptop keeps ${n === 1 ? "it" : "them"}.`,
    unreadableThereWhy:
      "A newer version of the app may have written them. Close this app on every tab, open it again within reach of the laptop, and take the new version it offers.",

    storing: "How finds are kept here",
    askAgain: "Ask the browser again",
    persisted: "The browser has promised to keep the finds even when space runs short.",
    notPersisted:
      "The browser gave no promise to keep the finds when space runs short. Bring them to the laptop soon; an app added to the home screen gets the promise more easily.",
    originals: "Keep the originals of photos too",
    originalsHint:
      "Each photo is kept smaller, without the place it was taken at. Originals take several times the room.",

    store: {
      full: "This phone’s storage is full. This was not saved. Free some space, or let the photos go to the laptop, and try again.",
      lost: "The browser closed the phone’s storage and didn’t open it again. This was not saved. Reload the page and try again.",
      newer: "Another window runs a newer version of this app. This was not saved. Reload this page.",
      forbidden:
        "This browser gives the app no storage, perhaps because the window is a private one. Nothing can be kept here; open the app in an ordinary window.",
      failed: "The phone’s storage failed. This was not saved. Reload the page and try again.",
    },
    photoTrouble: {
      "too-big": "This file is over 25 MB, so it wasn’t saved. Take a smaller photo.",
      "not-a-photo": "This isn’t a JPEG, PNG or WebP photo, so it wasn’t saved.",
      "too-many-pixels": "This photo is over 64 megapixels, so it wasn’t saved.",
      unreadable: "This photo can’t be read, so it wasn’t saved. Take it again.",
      insecure:
        "Photos need the laptop’s encrypted address, so nothing was saved. Open the app with the code on the laptop.",
    },
    noCore:
      "This device can’t run the app’s engine, so it can’t keep finds. Nothing was saved. Try another browser, or the laptop’s own page.",
    failed: "This couldn’t be saved. Try again.",
    retry: "Try again",
    dismiss: "Dismiss",

    acts: {
      kept: "Kept.",
      saved: "Saved.",
      deleted: "Deleted.",
      restored: "Restored.",
      photo: "Photo kept.",
      undone: "Undone.",
      redone: "Done again.",
      hunt: "Saved.",
    },
    undo: "Undo",
    redo: "Redo",

    search: "Search",
    searchHint: "coin, year, label, note …",
    filter: "Filter and sort",
    any: "all",
    sort: "Sort",
    sorts: { newest: "newest first", oldest: "oldest first", coin: "by coin", weight: "by weight" },
    showDeleted: "Deleted ones",
    total: (n: number) => counted(n, "find", "finds"),
    more: "Show more",
    empty: "No finds yet.",
    emptyHint: "Weigh a coin and tap “Keep”. It is saved on this phone at once and syncs to the laptop.",
    nothing: "No find matches. Try fewer words or another filter.",
    choose: "Choose a find to see all of it.",
    conflictsHere: (n: number, kind: "find" | "hunt") =>
      n === 1
        ? `One ${kind} was also written on another phone. Choose what counts.`
        : `${n} ${kind}s were also written on another phone. Choose what counts.`,
    overlookedHere: (n: number, kind: "find" | "hunt") =>
      n === 1
        ? `One deleted ${kind} was changed by someone who hadn’t seen that. Keep it or not?`
        : `${n} deleted ${kind}s were changed by someone who hadn’t seen that. Keep them or not?`,
    tagOnlyHere: "only here",
    tagConflict: "written twice",
    tagDeleted: "deleted",

    unnamed: "Coin",
    coin: "Coin",
    country: "Country",
    denomination: "Denomination",
    year: "Year",
    mint: "Mint mark",
    noMint: "no mark",
    unknown: "not known",
    issue: "Issue",
    bookPage: "In the coin book",

    weight: "Weight",
    asShown: "as the scale showed it",
    meant: (mean: string, u: string) => `taken as ${mean} ± ${u}\u00a0g`,
    scale: "Scale",
    scaleAssumed: "accuracy assumed, not measured",
    scaleChecked: (when: string) => `checked with weights ${when}`,
    byCamera: "read by camera and confirmed by a tap",
    typedWeight: "typed by hand",
    trace: (n: number, seconds: string) => `${counted(n, "reading", "readings")} in ${seconds}\u00a0s`,
    tracePicture: (from: string, to: string) => `The scale’s readings, between ${from} and ${to}.`,
    weighing: "How it was weighed",
    noWeight: "not weighed",
    edit: "Edit",
    editDone: "Done",
    found: "Found",

    what: "What it is",
    kind: "Kind",
    certainty: "How sure",
    certainties: { certain: "sure", likely: "likely", guess: "guess" },
    note: "Note",

    photos: "Photos",
    noPhoto: "No photo yet.",
    camera: "Camera",
    file: "From a file",
    photoBusy: "Reading the photo …",
    sides: { obverse: "obverse", reverse: "reverse", edge: "edge", detail: "detail" },
    side: "Shows",
    photoOf: (side: string) => `Photo of the ${side}`,
    photoPlain: "Photo",
    photoGone: "This photo is only on the laptop, which is out of reach.",
    place: "Place on the coin",
    placeHint: "Tap the spot the photo shows.",
    placeWords: (clock: number, ring: "centre" | "field" | "rim") =>
      ring === "centre" ? "center" : `${clock} o’clock, ${ring === "rim" ? "at the rim" : "in the field"}`,
    placeClear: "No place",
    removePhoto: "Remove the photo",
    original: "Open the original",
    photoBack: "Back to the find",
    aside: (n: number) =>
      n === 1
        ? "One coin is set aside, not yet saved as a find."
        : `${n} coins are set aside, not yet saved as finds.`,
    asideKeep: (n: number): string => (n === 1 ? "Make it a find" : "Make them finds"),
    shared: (n: number) =>
      n === 1 ? "A shared photo waits for a find." : `${n} shared photos wait for a find.`,
    sharedTake: "Put here",

    lies: "Stored in",
    lyingIn: "In a",
    lyings: {
      flip: "flip",
      tube: "tube",
      album: "album",
      box: "box",
      envelope: "envelope",
      other: "something else",
    },
    label: "Label on it",
    where: "Kept where",

    fate: "Next step for it",
    fates: {
      keep: "keep",
      "second-opinion": "second opinion",
      trade: "trade",
      spend: "spend",
      bank: "back to the bank",
    },
    fateCautions: {
      keep: "Keep it dry, in inert plastic. Never clean it.",
      "second-opinion": "Only an expert can say whether it is genuine and what it is worth.",
      trade:
        "Leave what it is worth, and whether it is genuine, to licensed or expert people. Don’t sell a suspected counterfeit.",
      spend:
        "Don’t spend a coin that may be counterfeit. Melting coins is illegal in many places; your country’s law applies.",
      bank: "Don’t deposit a coin that may be counterfeit as good; tell the bank. Melting coins is illegal in many places; your country’s law applies.",
    },
    hunt: "Hunt",
    noHunt: "none",

    conflict: (field: string) => `${field}: also written on another phone`,
    conflictHint: (others: number): string =>
      others === 1
        ? "Both are kept. Choose which one counts; the other stays in the history."
        : "All are kept. Choose which one counts; the others stay in the history.",
    choice: "Take this",
    takenAway: "removed",
    shownNow: "shown now",

    history: "History",
    states: { shown: "now", beside: "beside it", replaced: "earlier" },
    again: "Take this again",
    delete: "Delete this find",
    deleteHint: "You can restore it at any time.",
    deleted: "This find is deleted. You can still restore it.",
    deletedUnseen: (deleter: string, others: string[], what: string) =>
      `Deleted on ${deleter}, but ${listed(others)} changed it without having seen that: ${what}.`,
    deletedAndChanged: (deleter: string, _others: string[], what: string) =>
      `Deleted on ${deleter}, and changed there after that: ${what}.`,
    deletedWhen: (deleted: string, changed: string) =>
      `Deleted ${deleted}, changed ${changed}, by their own clocks.`,
    changedTo: (field: string, value: string) => `${field} (${value})`,
    keepAfterAll: "Keep",
    deleteAfterAll: "Delete",
    thisPhone: (onDesk: boolean): string => (onDesk ? "this computer" : "this phone"),
    anotherPhone: "another phone",
    writtenBy: (phone: string, when: string) => `${phone}, ${when}`,
    restore: "Restore it",
    gone: "This record isn’t on this phone. It may come with the next sync.",

    fields: {
      deleted: "Deletion",
      note: "Note",
      hunt: "Hunt",
      found: "Found",
      coin: "Coin",
      weight: "Weight",
      trace: "Readings",
      verdict: "Verdict",
      gist: "Verdict",
      evidence: "Seen and tested",
      kind: "Kind",
      certainty: "How sure",
      photo: "Photo",
      lies: "Stored in",
      fate: "Next step for it",
      source: "Source",
      place: "Place",
      country: "Country",
      denomination: "Denomination",
      rolls: "Rolls",
      coins: "Coins",
      searched: "Searched",
      paid: "Paid",
      returned: "Given back",
      begun: "Begun",
      ended: "Ended",
      pause: "Pause",
      roll: "Roll",
      count: "Coins counted",
      metal: "Coins counted",
    },
  },

  hunts: {
    empty: "No hunts yet.",
    emptyHint:
      "A hunt is one jar, one box or one set of rolls, searched from start to finish. It counts what you weigh.",
    start: "New hunt",
    askSource: "Where do the coins come from?",
    askSourceHint: "Asked once. Silver is rarer in bank rolls than in a jar, and the odds depend on it.",
    backToList: "All hunts",
    choose: "Choose a hunt to see all of it.",
    states: { planned: "not started", going: "running", paused: "paused", ended: "ended" },
    source: "Where the coins come from",
    sources: { jar: "jar", rolls: "bank rolls", box: "bank box", inherited: "inherited", shop: "shop" },
    places: {
      jar: "Which jar",
      rolls: "Branch, by a nickname",
      box: "Which box",
      inherited: "From whom, in a word",
      shop: "Shop, by a nickname",
    },
    placeHint: "your own word for it",
    rolls: "Rolls",
    coins: "Coins",
    searched: "Searched, by hand",
    paid: "Paid, face value",
    returned: "Given back",
    currency: "Currency",
    begin: "Begin",
    pause: "Pause",
    goOn: "Go on",
    end: "End",
    reopen: "Resume after all",
    endsBeforeBegin: "This hunt’s end is before its start. Correct one of the times below.",
    severalGoing: (n: number, counting: string) =>
      `${n === 2 ? "Two" : n} hunts are running. Coins are counted for ${counting} only.`,
    endOther: (hunt: string) => `End ${hunt}`,
    time: "Time at it",
    minutes: (m: number) => (m < 60 ? `${m}\u00a0min` : `${Math.floor(m / 60)}\u00a0h ${m % 60}\u00a0min`),
    progress: "Roll by roll",
    roll: (n: number) => `Roll ${n}`,
    rollDone: "done",
    rollCoins: (n: number) => counted(n, "coin", "coins"),
    nextRoll: (n: number, coins: number) => `Roll ${n} done, ${counted(coins, "coin", "coins")}`,
    coinsPerRoll: "Coins in a roll",
    counted: "Judged on the scale",
    countedNone: "None yet. Coins weighed during the hunt are counted here.",
    oneLess: "One less",
    oneLessOf: (call: string) => `One less, ${call}`,
    calls: {
      ordinary: "ordinary",
      keeper: "keepers",
      either: "one of two",
      look: "worth a look",
      "cannot-tell": "can’t tell",
    },
    account: "Account",
    accountHint: "Face value only. What a find is worth is for an expert to say.",
    searchedTotal: "Coins searched",
    findsTotal: "Finds",
    keepersTotal: "Keepers",
    lookTotal: "To look at",
    metals: "By metal",
    allKeepers: "keepers",
    keepersOf: (n: number) => counted(n, "keeper", "keepers"),
    perThousand: "Finds in 1,000 coins",
    still: "Still here",
    bySource: "By source",
    sum: (amount: string, currency: string) => `${amount} ${currency}`,
    findsOf: "Finds of this hunt",
    findsNone: "None yet. What you keep during the hunt is listed here.",
    delete: "Delete this hunt",
    deleted: "This hunt is deleted. You can still restore it, and its finds stay.",
    searchedRow: (coins: number, finds: number, keepers: number) =>
      [
        counted(coins, "coin", "coins"),
        keepers > 0 ? counted(keepers, "keeper", "keepers") : "",
        counted(finds, "find", "finds"),
      ]
        .filter(Boolean)
        .join(", "),
  },
};
