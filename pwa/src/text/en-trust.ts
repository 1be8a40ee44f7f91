/** The words about belonging to a laptop: leaving it, and another one in its place. */
export const trustTexts = {
  laptop: {
    addressTitle: "Where it is",
    here: "at this page’s own address",
    moved: (host: string) => `moved to ${host}; this page stays where it is, with what is kept on it`,
    silent: "out of reach",
    stranger: "out of reach; another laptop has its address",
    strange:
      "Another laptop answers at this address, or yours was set up anew: its key is not the one this device knows. It was told nothing, and nothing here is lost.",
    rejoin: "How to join again",
    rejoinTitle: "Join again",
    rejoinFirst:
      "If it is a stranger’s laptop, change the network or wait: your own is found again by its key. If it is yours and was set up anew, let this device in again. Your records here stay.",
    leave: "Leave this laptop",
    leaveAsk:
      "Leave it? This device gets no more weights from it until it scans a new code. What is recorded here stays here; what the laptop doesn’t have yet can’t reach it until then.",
    leaveYes: "Leave it",
    leaveNo: "Stay",
    leaveFailed:
      "The laptop can’t be reached, so it will go on listing this device. Nothing was changed; try again near it, or forget it on this device only and remove the device on the laptop’s list later.",
    forget: "Forget it here only",
  },
};
