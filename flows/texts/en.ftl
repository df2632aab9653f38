# What Telltale says, in English. A test fails on a missing text or variable.
# Short, calm, specific: what, why, what next.

## Opening
greet = Hello. I am the assistant of { $shop }, a program and not a person. Tell me in your own words what is up with your truck, or what you want done. To reach a person, call { $phone } or write "person".
greet-again = Hello again from { $shop }.
introduce = I am the assistant of { $shop }, a program and not a person. To reach a person, call { $phone } or write "person".
where-we-were = We were talking about { $truck }.
started-over = All right, from the beginning.
new-truck = A new truck. I keep it apart from the others.
language-now = I will write in English.
welcome = You are welcome.
help =
    I gather what { $shop } needs to know about your truck, tell you what to look into, and ask the shop for a time.
    Write in your own words, at any time:
    "my trucks", "my appointment", "status", "start over", "what do you know about me", "forget me", "stop" to end reminders, "person" for a person.
    The shop's phone: { $phone }

## Reading back
read-back = I read: { $facts }.
corrected = Corrected. I now read: { $facts }.
corrected-plain = I read your message again as you changed it.
photo-kept = Photo kept. The shop sees it with your request.
unreadable-voice = I cannot listen to voice messages. Please write it in a few words.
unreadable-location = I cannot use a map position. Please write the place in words.
unreadable-document = I can keep photos, but not files of this kind. Please send a photo or write it.
unreadable-photo = That photo could not be kept: it is damaged, too large, or not a photo. Please send it once more, or write what it shows.
unreadable-other = I can read words and keep photos; this I cannot use. Please write it in a few words.
not-understood = I did not get that. Please say it in other words: what the truck does, or what you want done.
not-understood-answer = I did not get that as an answer.
offer-guesses = I am not sure that I understood. Is it one of these?
already-answered = That question is answered already; I have: { $answer }.
button-too-old = That button belongs to an earlier question.
words-tapped = tapped
words-number = number given

## Trucks
truck-unknown = your truck
truck-known = your { $truck }
truck-known-shop = { $truck }
truck-unknown-shop = truck not described yet
ask-truck = Which truck is it about?
option-other-truck = Another truck
no-trucks = I have no truck of yours yet. Tell me about it: year, engine, mileage.
trucks-head = Your trucks:
truck-line = – { $truck }, last reading { $miles } miles
truck-line-no-miles = – { $truck }
truck-closed = Thank you. I closed { $truck } and ask nothing more about it. If there is another one now, write its year, engine and mileage.
which-sold = Which truck is it about? Write "my trucks" to see them.
moved-away = Thank you for telling me, and a good start there. I write nothing more by myself; "start" turns it on again, and { $phone } is the shop.

## Questions
ask-anything = What can I do for your truck?
ask-symptoms = What does { $truck } do, or what do you want looked at? Write it in your own words, or tap what fits.
ask-engine = Which engine is in { $truck }?
hint-engine = The badge on the fender, the air box or the sticker under the hood often says it, such as "6.7 L diesel".
ask-model-year = Which model year is { $truck }?
hint-model-year = It is on the registration; on the door sticker the date of making is near enough.
ask-odometer = What does the odometer of { $truck } show? A round number is fine.
ask-trouble-codes = Did a reader or the dash show a trouble code, such as P0087?
ask-tows = Do you often pull a trailer or a heavy load?
ask-miles-per-year = About how many miles do you drive in a year?
ask-last-fuel-filter = At what mileage was the fuel filter last changed?
ask-last-oil-change = At what mileage was the oil last changed?
ask-pump-protected = Has a protection kit for the high-pressure pump been fitted?
ask-pump-replaced = Has the high-pressure fuel pump been changed for another design, under a recall for example?
ask-breather = Is the crankcase breather filter still the one from the factory?
ask-vin = What is the VIN, the 17 characters on the registration?
hint-vin = It is also behind the windshield on the driver's side, and on the door sticker.
ask-hint = To be sure: { $symptom } – is that what you mean?
doubt-vin-year = The year letter of a VIN comes around every 30 years.
doubt-year-vin = The VIN gives model year { $year }.
doubt-year-engine = An engine as you describe it was built for model years { $years }.
ask-doubt = { $because }I read { $value } from "{ $words }". Is that right?

option-yes = Yes
option-no = No
option-not-sure = Not sure
option-dont-know = I don't know
option-none-of-these = None of these
option-nothing-wrong = Nothing wrong, maintenance
option-hard-start = Starts hard
option-loss-of-power = Less power
option-check-engine = Engine light is on
option-fuel-leak = Fuel leaks
option-no-codes = No code
engine-67-v8 = 6.7 L V8 diesel
engine-67-i6 = 6.7 L inline six diesel
engine-66-v8 = 6.6 L V8 diesel
engine-60-v8 = 6.0 L V8 diesel
engine-30-v6 = 3.0 L V6 diesel

value-miles = { $miles } miles
value-litres = { $litres } L
value-miles-a-year = { $miles } miles a year
value-last-filter = fuel filter at { $miles } miles

## Danger
danger-phone = { $shop }: { $phone }
danger-again = If anyone is in danger, call emergency services first. The shop's phone is { $phone }.
ask-tow = Shall the shop expect it on a tow truck?
again-tow = Shall the shop expect it on a tow truck?
option-tow-in = Yes, on a tow truck
option-call-me = Call me
option-no-tow = No, not by tow
ask-tow-details = Is everyone safe? Where is the truck, is it loaded or on a trailer, and where are the keys? One message is enough.
again-tow-details = Where is the truck, is it loaded or on a trailer, and where are the keys?
tow-note = Tow-in: { $words }

## Advice
urgency-do-not-drive = Do not drive { $truck }.
urgency-prompt = Have { $truck } looked at within days, and drive no more than needed.
urgency-planned = This is due on { $truck } by mileage or time. Nothing urgent.
urgency-watch = Nothing is due on { $truck } now.
urgency-word-do-not-drive = do not drive
urgency-word-prompt = within days
urgency-word-planned = due by mileage or time
urgency-word-watch = nothing due
service-line = – { $service }: { $because }
more-services = { $count ->
    [one] One more service goes with it.
   *[other] { $count } more services go with it.
}
not-advised-line = Not advised, { $service }: { $because }
due-at-line = { $service }: due at { $miles } miles.
nothing-due = There is no work to do from what you told me.
nothing-due-until = The next service that comes is { $service }, at { $miles } miles.
estimate = Estimate: { $total }, { $hours } hours of work. Not in it: { $leftOut }. It is no fixed price; the shop confirms it in writing.
estimate-diagnosis = Estimate for finding the cause: { $total }, { $hours } hours. What the repair costs is known after that. Not in it: { $leftOut }.
estimate-line = { $text }: { $hours } h, parts { $parts }
caution-line = • { $caution }
deferral = This is advice from what you wrote and no diagnosis. Leave the work to a qualified technician, licensed where your law requires it, and follow local rules.
ask-advice = What would you like?
again-advice = Shall I look for a time?
option-see-times = See times
option-whole-advice = All of it, with reasons
option-person = Ask a person
option-not-now = Not now
not-now = All right. Write at any time, or call { $phone }.
times-need-facts = I will look for a time as soon as I know what the truck needs.
price-needs-facts = A price depends on the truck. A few questions first.
decline-tamper = The shop does not remove, bypass or switch off emissions equipment.
instead-of-tamper = If it clogs or gives warnings, tell me what the truck does: there is nearly always a cause that can be repaired.

## Times
offer-times = These times are free:
wanted-not-free = The time you asked for is not free. The nearest:
no-times = I find no free time. { $because } You can also call { $phone }.
ask-wanted-time = Which day would suit you, and morning or afternoon?
again-time = Which time suits you?
option-more-times = More times
option-other-day = Another day
slot-taken = That time was taken just now.
time-open = time to be agreed
ask-name = What name may I give the shop?
ask-phone = And a phone number for the shop to reach you?
phone-unclear = I cannot read that as a phone number. Please give it with the area code.
option-answer-here = Answer me here instead
send-words =
    This goes to the shop:
    { $truck }
    { $services }
    { $time }
    { $estimate }
    By sending it you agree to work within this estimate; nothing beyond it is done without your yes.
send-words-unpriced =
    This goes to the shop:
    { $truck }
    { $time }
ask-send =
    { $words }
    { $name }, { $phone }
    Shall I send it?
again-send = Shall I send the request?
option-send = Send it
option-other-time = Another time
request-sent = Sent. It is not booked yet: the shop answers by { $answerBy }. If it cannot wait, call { $phone }.
move-sent = I asked the shop for { $time }. Until it agrees, by { $answerBy }, that is not booked yet.

## The shop answers
accepted = Booked: { $truck }, { $time }, { $address }. The attached file puts it in your calendar. To change it, write "move my appointment" or "cancel".
because-full = it does not fit into the shop's plan
declined = The shop cannot take this request: { $because }. You can call { $phone }, or ask me for another time.
ask-other-time = The shop offers another time for { $truck }: { $time }. Does that suit you?
again-other-time = Does the offered time suit you?
option-take-it = Yes, take it
moved-by-shop = The shop moved the appointment for { $truck } to { $time }. If that does not suit you, write "move my appointment" or call { $phone }.
cancelled-by-shop = The shop has to cancel the appointment: { $because }. Call { $phone }, or ask me for another time.
shop-calls = The shop will call you. If it is urgent, call { $phone }.
from-shop = From { $shop }: { $words }
arrived = Your truck has arrived at the shop.
missed-you = We missed you at the appointed time. Write here for another one, or call { $phone }.
unanswered = The shop has not answered yet, and that is not how it should be. Your request is still there; the quickest way now is to call { $phone }.
ask-cancel = Cancel { $truck }, { $time }?
option-cancel-it = Yes, cancel it
option-keep-it = Keep it
cancelled = Cancelled. The shop knows.
cannot-cancel = That can no longer be cancelled here. Please call { $phone }.
kept = It stays as it is.
no-appointment = There is no appointment or open request. Tell me what the truck needs, and I look for a time.
appointment-booked = Booked: { $truck }, { $time }. The shop's phone: { $phone }.
appointment-requested = Asked for, not booked yet: { $truck }, { $time }. The shop's phone: { $phone }.
appointment-underway = { $truck }, { $time }: it is with the shop. Its phone: { $phone }.
person-coming = I told the shop; a person will get in touch. If it is urgent, call { $phone }.

## Service record
record-head = Service record, { $truck }, { $date }, { $miles } miles:
record-service = – { $service }
record-finding = – { $service }: { $finding } { $note }
record-put-off = – put off: { $service }, { $because }
record-look-for-leaks = Look under the truck in the next days: if you see drops or smell fuel, stop driving it and write or call.
record-next = Next: { $services }, at { $miles } miles.
finding-none = nothing found
finding-doubtful = doubtful
finding-metal = metal found
finding-clear = clear
finding-sooted = sooted
finding-blocked = blocked
finding-replaced = replaced
finding-done = done
finding-other = see note

## Follow-up
ask-consent = May { $shop } write to you here when service is likely due, at most a few times a year? You can end it at any time with "stop".
again-consent = May the shop write to you here when service is likely due?
option-consent-yes = Yes, remind me
option-consent-no = No
consent-given = Good. I ask for the odometer now and then, and write when something is due. "stop" ends it.
consent-given-no-reach = Good. This page cannot reach you once it is closed: write "link" to be reminded on your phone, or the shop will call you. "stop" ends it.
consent-refused = All right, no reminders.
link-how = On your phone, open the shop's chat and send it this once: /start { $code } – it works for 30 minutes and joins that chat to this one.
link-not-needed = This chat reaches you already.
ask-odometer-check = { $shop } here. What does the odometer of { $truck } show? My guess is about { $guess }. Send the number, or tap.
ask-odometer-check-plain = { $shop } here. What does the odometer of { $truck } show? Send the number, or tap.
gate-lower-than-last = That is lower than the last reading, { $last } ({ $miles } miles in { $days } days).
gate-too-fast = That would be { $miles } miles in { $days } days, since { $last }.
gate-too-slow = That would be only { $miles } miles in { $days } days, since { $last }.
again-odometer = What does the odometer of { $truck } show?
ask-odometer-first = What does the odometer of { $truck } show right now? Then I find the right week for it.
option-skip-odometer = Just show me times
too-early = Noted: { $miles } miles. That leaves { $left } until { $services }, so it is too early to book. I ask again before it is due.
option-roughly = Roughly that
option-later = Later
option-sold = Sold it
option-stop-reminders = No more reminders
noted = Noted, thank you.
noted-miles = Noted: { $miles } miles.
outlook = Noted: { $miles } miles. Next is { $services } at { $dueMiles }, in { $left } miles; likely { $when }.
outlook-overdue = Noted: { $miles } miles. { $services } was due at { $dueMiles }, { $left } miles ago.
outlook-guess = Thank you, I keep { $miles } as a guess. By that, { $services } at { $dueMiles } miles is about { $left } miles away; likely { $when }.
outlook-guess-overdue = Thank you, I keep { $miles } as a guess. By that, { $services } was due at { $dueMiles }, about { $left } miles ago.
date-range = between { $from } and { $to }
over-ten-years = more than ten years from now
offer-service = { $shop }: { $services } for { $truck } is due at { $dueMiles } miles, likely { $when }. Shall I look for a time?
offer-service-passed = { $shop }: { $services } for { $truck } was due at { $dueMiles } miles, and by now that has likely passed. Shall I look for a time?
again-service-offer = Shall I look for a time for the service?
done-elsewhere = Noted, thank you. Next is { $services } at { $dueMiles } miles; likely { $when }.
later-fine = All right, I ask again in two weeks.
service-put-off = All right. I come back to it about { $when }; write when it suits you before that, or call { $phone }.
appointment-today = Today: { $truck } at { $time }, { $address }. To change it, write "move my appointment", or call { $phone }.
appointment-tomorrow = Tomorrow: { $truck } at { $time }, { $address }. To change it, write "move my appointment", or call { $phone }.
ask-leak = { $shop }: since the work on { $truck }, have you seen a leak or smelled fuel?
again-leak = Have you seen a leak or smelled fuel since the work?
option-leak-yes = Yes, a leak or smell
option-leak-no = No, all dry
glad-no-leak = Good. Thank you for looking.
status = Status of { $truck }: { $miles } miles on { $date }. Next is { $services } at { $dueMiles } miles, likely between { $from } and { $to }.
status-nothing-due = Status of { $truck }: { $miles } miles on { $date }. Nothing is planned.
status-no-reading = Status of { $truck }: I have no odometer reading yet. Send me the number.

## Consent, data
stopped = Done. You get no more messages from us unless you write. "start" turns them on again.
stopped-request-open = Done, no more reminders. Your open request stays with the shop; it will phone you if needed ({ $phone }).
opt-in-wording = { $shop } may write here when service is likely due, until "stop".
started-again = Reminders are on again. "stop" ends them.
data-head = This is what I keep about you:
data-contact = Name: { $name }. Phone: { $phone }.
data-consent = You agreed to reminders on { $date }.
data-no-consent = No reminders agreed.
data-truck = About { $truck }: { $facts }. Service records: { $records }.
data-requests = Requests to the shop: { $count }.
data-agreed = On { $date } { $who } agreed to: { $wording }
data-answered = On { $date } { $who } said "{ $said }" to: { $wording }
data-foot = Messages are deleted after a time; "forget me" deletes all of it now, except the shop's repair records without your name.
ask-forget = Delete your name, number, messages and photos? The shop keeps the repair records without your name, as it must. Open requests are withdrawn.
option-forget = Delete it
option-keep-data = Keep it
forgotten = Deleted. If you write again, we start anew.
data-kept = Nothing was deleted.

ask-callback = What number can the shop call you at?
option-no-call = No call needed
number-passed-on = Thank you. The shop has the number.
staff-number = The number to call: { $name }, { $phone }.

## For the shop
too-fast = That is a lot at once. I have everything, and go on with it in about a minute.
apology = Sorry, something went wrong on our side with that message. Please call { $phone }.
contact-share = Share my phone number
contact-hint = Tap the button below to share your number, or type it.
staff-chat-linked = This chat is now the shop's staff chat. Requests come here.
staff-chat-not-linked = That code is not valid any more. Make a new one on the counter page.
staff-commands =
    In this chat: /requests, /today, /tomorrow, /due, /blocks
    /accept REQUEST, /times REQUEST, /decline REQUEST WHY, /cancel REQUEST WHY, /say REQUEST WORDS
    /move REQUEST DAY TIME, /longer REQUEST HOURS
    /here REQUEST, /missed REQUEST, /start REQUEST
    /more REQUEST WHAT COST, /approved REQUEST yes, no or numbers, how, who
    /close REQUEST MILES METAL (metal: none, doubtful or metal), /phoned REQUEST
    /block BAY OR PERSON DAY TIMES WHY, /unblock BLOCK, /enter NAME, PHONE, /papers REQUEST
    A command without its rest says how it is written.
staff-line = { $id }: { $time } { $bay }, { $truck }, { $owner }: { $work } ({ $state })
staff-due-line = { $date }: { $kind }, { $owner }, { $phone }
staff-close-how = To close it: /close { $id } MILES METAL, such as /close { $id } 92400 none. Metal at the metering valve and filter: none, doubtful or metal.
staff-say-how = To write to an owner: /say REQUEST WORDS
staff-accept = Accept
staff-other-time = Another time
staff-decline = Decline
staff-call = I will call
staff-accepted = Accepted by { $by }: { $truck }, { $time }.
staff-declined = Declined by { $by }: { $truck }, { $time }.
staff-offered = { $by } offered { $time } for { $truck }. Waiting for the owner.
staff-owner-took = The owner takes it: { $truck }, { $time }. Booked.
staff-moved = Moved by { $by }: { $truck }, now { $time }.
staff-shop-cancelled = Cancelled by { $by }: { $truck }, { $time }.
staff-arrived = Arrived: { $truck }. Noted by { $by }.
staff-in-work = In work: { $truck }. Noted by { $by }.
staff-no-show = Did not show up: { $truck }, { $time }. Noted by { $by }.
staff-calling = { $by } will call { $phone } about { $truck }.
staff-closed = Closed by { $by }: { $truck }. The owner has the service record.
staff-metal-phone = Metal found in { $truck }. Do not start the engine; keep the parts and a fuel sample. Phone the owner now: { $phone }. The assistant writes when you have, or after { $hours } hours.
staff-times = Free times for { $truck }; a tap offers it to the owner:
staff-move-wanted = The owner wants { $truck } moved to { $time }.
staff-cancelled = Cancelled by the owner: { $truck }, { $time }.
staff-edited = The owner corrected a message about { $truck }: "{ $words }"
staff-unanswered = Still unanswered: { $truck }, { $time }.
staff-unanswered-told = Still unanswered: { $truck }, { $time }. The owner was told to call.
staff-no-request = That request is no longer there.
staff-opted-out = An owner with an open request ended all messages. Phone for anything further: { $phone }.
staff-unreachable = An owner with an open request cannot be reached by chat. Phone: { $phone }.
staff-person-wanted = A person is wanted: { $name }, { $phone }, { $truck }. { $words }
no-name = no name yet
no-phone = no number yet
sheet-head = Request: { $truck } – { $urgency }
sheet-contact = { $name }, { $phone }
sheet-time = Wanted: { $time }
sheet-words = In the owner's words:
    { $words }
sheet-symptoms = Complaint: { $symptoms }
sheet-fact = { $fact } ({ $source })
sheet-fact-unsure = { $fact } ({ $source }, not sure)
sheet-unknown = Unknown, check at arrival: { $facts }
sheet-estimate = Estimate: { $total }

## Symptoms, as a person would say them
symptom-no-crank = the starter does not turn the engine
symptom-cranks-no-start = the engine turns but does not start
symptom-hard-start = it starts hard
symptom-stalls = the engine dies
symptom-loss-of-power = less power
symptom-reduced-power-message = a reduced-power message
symptom-surging = the engine speed goes up and down by itself
symptom-rough-idle = it shakes at idle
symptom-knock = the engine knocks
symptom-pump-whine = the fuel pump whines
symptom-black-smoke = black exhaust smoke
symptom-white-smoke = white exhaust smoke
symptom-blue-smoke = blue exhaust smoke
symptom-fuel-smell = a smell of fuel
symptom-fuel-leak = fuel leaks
symptom-metal-in-fuel = metal in the fuel
symptom-water-in-fuel = water in the fuel
symptom-wrong-fuel = the wrong fuel in the tank
symptom-check-engine = the engine light is on
symptom-low-fuel-pressure = low fuel pressure
symptom-overheating = the engine overheats
symptom-coolant-loss = coolant gets lost
symptom-oil-leak = oil leaks
symptom-low-oil-pressure = low oil pressure
symptom-exhaust-smell-in-cab = exhaust smell in the cab
symptom-frequent-regeneration = it cleans its particulate filter often
symptom-particulate-filter-warning = a particulate-filter warning
symptom-exhaust-fluid-warning = an exhaust-fluid warning
symptom-turbo-noise = a noise from the turbo
symptom-poor-economy = it uses more fuel than before
symptom-runaway = the engine revs by itself and does not stop
symptom-fire-or-smoke = fire, or smoke from under the hood or the truck
symptom-brake-fault = something is wrong with the brakes
symptom-steering-fault = something is wrong with the steering
symptom-charging-fault = the battery is not charged
symptom-vibration = it vibrates when driving
symptom-transmission-slip = the transmission slips
symptom-other = something else

## Pages
page-sheet-title = Service sheet
page-talk = Our talk so far
page-skip = Skip to the sheet
page-write = Write here, in your own words
page-add-photo = Add a photo
page-send = Send
page-choices = Answers to tap
page-photo = Photo from the owner
page-file = Save { $name }
page-initials-owner = YOU
page-initials-shop = TT
page-who-owner = You wrote
page-who-shop = Telltale, the shop's assistant
page-offline = No connection. What you wrote is still here; please try again.
page-privacy = This sheet is kept for this browser and the shop only. In an emergency call emergency services; the shop's phone is { $phone }.
page-fault = Something went wrong on our side. Please try again, or call { $phone }.
page-refused = That could not be taken. Please check it and try again.
page-missing = There is no such page.
post-empty = Write something, or add a photo.
post-bad-button = That button cannot be used any more.
post-too-many-photos = At most five photos at a time, please.
post-stopped = The page is closing for a moment. Please try again shortly.
post-too-large = That photo is too large.
post-not-a-picture = That file is not a photo that can be read.
post-broken = That photo is damaged.

## Facts, as the shop reads them
fact-modelyear = model year
fact-enginelitres = engine, litres
fact-cylinders = cylinders
fact-layout = layout
fact-fuel = fuel
fact-odometermiles = odometer
fact-vin = VIN
fact-symptoms = complaint
fact-deniedsymptoms = said to be absent
fact-troublecodes = trouble codes
fact-intent = wish
fact-unsure = not sure
fact-enginefamily = engine family
fact-milesperyear = miles a year
fact-tows = pulls a trailer
fact-lastfuelfiltermiles = last fuel filter, miles
fact-lastfuelfilterdate = last fuel filter, date
fact-breatheroriginal = breather filter from the factory
fact-pumpprotected = protection kit fitted
fact-pumpreplaced = pump changed for another design
fact-metalfound = metal found in the fuel
fact-pumpfittedatmiles = present pump fitted at, miles
fact-lastoilchangemiles = last oil change, miles
fact-oilchangeintervalmiles = oil change every, miles
fact-inservicedate = first registered
fact-coverage = warranty or recall
fact-line = { $name }: { $value }
value-none = none
