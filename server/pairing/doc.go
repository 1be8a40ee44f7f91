// Package pairing lets phones and desks in: one-time secrets, the tokens they
// are swapped for, the end of a device, and the origins from whose pages
// devices may talk to this server.
//
// A secret has 128 bits from the system's random source, lives for minutes, in
// memory only, and opens once. A token has 256 bits; only its SHA-256 is
// stored. Plain SHA-256 is enough for a value nobody chose: there is nothing to
// guess from.
//
// Wrong secrets are counted. The tenth since the last offer closes the window:
// every open secret is thrown away and nothing joins until a person asks for a
// fresh one, at a desk or the terminal. Guessing 128 bits is hopeless anyway;
// closing tells the person at the laptop that somebody tries, so a desk that
// renews its code by itself doesn't open again. One address alone doesn't
// get that far: the HTTP side looks at five wrong ones and then at one in
// twenty seconds, so that a stranger can't keep a household from joining.
//
// A desk lets phones in and ends them, so its code works for this computer's own
// browser only, unless the server is started with --desk-anywhere. Whoever was
// refused a code or a token, and whoever joined, stands in the log with the
// address; secrets and tokens never do.
//
// # Tokens last
//
// A token is good until its device is ended, on the desk's list or by itself.
// It isn't exchanged for a new one now and then, and not using it doesn't end
// it: a phone that lay in a drawer for a year still holds finds that are
// nowhere else, and must be able to hand them over without somebody at the
// laptop. What stands against its theft instead: it never travels but in the
// Authorization header or the first message of the live stream, inside TLS, and
// before the app sends it to another address than its page's own it can have
// the server there prove itself; no cookie, address or log holds it; it opens a
// coin journal on a home network and no account elsewhere; the desk lists every
// device with when it was last seen, and ending one closes its sockets at once.
// Exchanging tokens would add a way to lose them, when the answer with the new
// one doesn't arrive, and against a thief who reads the phone's storage it
// would not help.
//
// There may be any number of devices, all listed. One device may have sixteen
// live sockets, all together 1024; the next is told so and tries again later.
//
// # Where the requirements are held
//
// The anchors are OWASP ASVS 5.0, section V4.4 (WebSocket) and chapter V7
// (session management). A session is a device's joining. The tests are those of
// the package named before them, or of package main.
//
//	clause  held in                           test
//	4.4.1   httpapi: no API over plain HTTP   TestPlainHTTPServesTrustAndNothingElse
//	4.4.2   httpapi.checkOrigin, checkHost    TestForeignHostsAndOriginsGetNoSocket
//	4.4.3   livehub.hello: the device's token TestBadFirstMessages
//	4.4.4   pairing.Join hands it out by HTTPS only; livehub asks pairing.Who twice
//	                                          TestAnEndedPhoneIsOutAtOnce
//	7.1.1   no end by time: see above         TestATokenLasts
//	7.1.2   sockets a device: livehub.list    TestOneDeviceHasSixteenSockets
//	7.1.3   not so here: nobody else signs anyone in
//	7.2.1   pairing.Who, on the server        TestRefusedTokens
//	7.2.2   pairing.Join makes each token     TestSecretsAndTokensAreLongAndAllDifferent
//	7.2.3   256 bits of crypto/rand           TestSecretsAndTokensAreLongAndAllDifferent
//	7.2.4   joining makes a new device with a new token; the server can't know
//	        that both are one phone, so the app itself ends the old one
//	                                          pwa/src/laptop/session.test.ts
//	7.3.1   deviates, see above               TestATokenLasts
//	7.3.2   deviates, see above               TestATokenLasts
//	7.4.1   pairing.End                       TestAnEndedDeviceIsNobody
//	7.4.2   pairing.End closes sockets        TestAnEndedPhoneIsOutAtOnce
//	7.4.3   not so here: there is no password to change
//	7.4.4   httpapi.leave, in the app's settings
//	                                          TestAPhoneThatLeaves; e2e, TestAPhoneLeavesByItself
//	7.4.5   httpapi.endDevice, for the desk   TestAnEndedPhoneIsOutAtOnce
//	7.5.1   letting devices in and ending them is the desk's alone
//	                                          TestRoutes (desk-only)
//	7.5.2   httpapi.devices, endDevice        TestAnEndedPhoneIsOutAtOnce
//	7.5.3   not so here: nothing of that weight can be asked for
//	7.6     not so here: nobody else signs anyone in
//
// # Attacks
//
// Each was tried against code with the defence taken out, and the test found
// it. The tests are those of the package named, main for package main.
//
//	a wrong secret           main TestWrongUsedAndExpiredSecrets
//	an old one               main TestWrongUsedAndExpiredSecrets, TestASecretEnds
//	a used one               TestASecretOpensOnceForItsRole; by many at once,
//	                         TestOneSecretManyAtOnce
//	the desk's secret from another computer
//	                         TestADeskJoinsHereOnly; httpapi
//	                         TestWhichJoiningIsThisComputers
//	a thousand guesses       from one address and from many: main
//	                         TestAThousandGuessesFromOneAddress,
//	                         TestAThousandGuessesFromManyAddresses; TestAThousandGuesses
//	a foreign Origin         httpapi TestForeignHostsAndOriginsAreRefused; main
//	                         TestForeignPagesAreRefused
//	a foreign Host           the same two
//	either at a socket       httpapi TestSocketsOfOtherPagesAreRefused; main
//	                         TestForeignHostsAndOriginsGetNoSocket
//	a token of an ended phone on an open socket
//	                         livehub TestAnEndedDeviceIsClosedAtOnce; main
//	                         TestAnEndedPhoneIsOutAtOnce, TestAPhoneThatLeaves
//	the same on a new one    main TestBadFirstMessages
//	oversize frames          livehub TestOversizeFrameIsCutOff; main
//	                         TestAnOversizeFrameEndsOneSocketOnly
package pairing
