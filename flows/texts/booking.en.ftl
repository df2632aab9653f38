# Why nothing earlier, or nothing at the wanted time, is offered: one sentence each.
slots-none = Nothing is free in the next { $days } days; please call the shop at { $phone }.
slots-no-bay = None of our bays takes this truck for this work; please call the shop at { $phone }.
slots-full = Everything earlier is taken.
slots-parts = The parts for this work can be here on { $day }, not earlier{ $vin ->
    [open] , and are ordered when the VIN is confirmed
   *[sure] { "" }
  }.
slots-tow-in = The truck can be left in the yard at any opening hour; these are the first free times in a bay.
slots-today = This is the soonest that the shop can get ready for you.
slots-closed = The shop is closed on { $day } ({ $why }).
slots-too-long = The work takes about { $hours ->
    [one] one hour
   *[other] { $hours } hours
  } and no longer fits into an earlier day.
slots-too-long-to-wait = The work takes about { $hours ->
    [one] one hour
   *[other] { $hours } hours
  }, too long to wait for; the truck can be dropped off instead.
slots-next-opening = This is the next day that the shop is open.
slots-wanted = This is the time you asked for.
slots-wanted-past = The time you asked for has passed; these are the next ones.
slots-wanted-far = Our diary is open until { $day } only; these are the nearest times.
slots-wanted-full = Everything at the time you asked for is taken; these are the nearest ones.
slots-wanted-parts = The parts for this work can be here on { $day }, not earlier{ $vin ->
    [open] , and are ordered when the VIN is confirmed
   *[sure] { "" }
  }; these are the nearest times.
slots-wanted-notice = The time you asked for is too soon for the shop to get ready; these are the nearest ones.
slots-wanted-closed = The shop is closed on { $day } ({ $why }); these are the nearest times.
slots-wanted-shut = The shop is not open at the time you asked for; these are the nearest ones.
slots-wanted-too-long = The work takes about { $hours ->
    [one] one hour
   *[other] { $hours } hours
  } and does not fit into the time you asked for; these are the nearest ones.

# Why an action on a request is refused, to whoever acted.
request-already = This request is already { $state ->
    [accepted] accepted
    [declined] declined
    [other-time] answered with another time
    [cancelled] cancelled
    [arrived] marked as arrived
    [no-show] marked as a no-show
    [in-work] in work
    [awaiting-approval] waiting for approval
    [closed] closed
    [moved] moved
   *[requested] changed
  } by { $name }.
request-not-now = That cannot be done now: the request is { $state ->
    [requested] waiting for the shop's answer
    [accepted] accepted
    [declined] declined
    [other-time] waiting for the owner's answer to another time
    [cancelled] cancelled
    [arrived] here, the truck has arrived
    [no-show] marked as a no-show
    [in-work] in work
    [awaiting-approval] waiting for approval
   *[closed] closed
  }.
request-no-time = The request has no time yet; offer one first.
request-time-past = That time has passed.
request-not-due = The appointment's time has not come yet.

# In the owner's own calendar.
calendar-summary = { $work } at { $shop }
calendar-description = To change or cancel, write in the chat or call { $phone }.

# What is wrong with a row of a list of trucks, for the dry run before an import.
list-unreadable = The row cannot be read: { $why ->
    [quotes] a quotation mark is missing or in the wrong place
    [cells] it has more cells than the header
   *[size] the file is too long; split it
  }.
list-missing = "{ $column }" is missing.
list-not-a-number = "{ $column }" is "{ $value }": a number such as 97000 was expected.
list-out-of-range = "{ $column }" is "{ $value }": expected from { $low } to { $high }.
list-too-long = "{ $column }" is longer than { $most } characters.
list-not-a-date = "{ $column }" is "{ $value }": a day such as 2026-05-02 or 5/2/2026 was expected.
list-date-ahead = "{ $column }" is "{ $value }": that day has not come yet.
list-unknown-service = "{ $column }" names "{ $name }", which the shop does not sell.
list-vin = "{ $value }" is no VIN: its check digit does not fit.
list-phone = "{ $value }" is no phone number.
list-not-one-of = "{ $column }" is "{ $value }": expected one of { $names }.
list-needs-too = "{ $column }" stands without "{ $other }".
list-twice = The truck stands already on line { $line }.

# A time that was tapped, while the owner gives name and number.
slot-held = I am holding { $time } for you until { $until }.
hold-over = I can hold { $time } no longer. If it is still free when you answer, it is yours; otherwise I look for another.

# What the shop does about a request, as the owner reads it.
because-not-ours = it is work that the shop does not do
calendar-withdrawn = Your former time is given back; the attached file takes it out of your calendar.
in-work = Work on { $truck } has begun.
lengthened = The work on { $truck } takes longer than planned, until about { $until }. If that is a problem, call { $phone }.
arrived-with-facts =
    Your truck has arrived at the shop. What was taken down:
    { $facts }
arrival-noted =
    What the shop took down about your truck:
    { $facts }
arrival-miles = – odometer { $miles }
arrival-damage = – damage that was there already: { $what }
arrival-no-damage = – no damage seen from outside
arrival-keys = – keys: { $where }
arrival-limit = – diagnosis and tear-down up to { $dollars } dollars without asking again, signed by { $name }
arrival-parts-kept = – you want the old parts back
arrival-parts-gone = – the old parts need not be kept
vin-kept = Thank you, the VIN is complete and its check digit fits. The shop can order the parts.
vin-wanted = One thing more: the parts are ordered by the VIN, and not before it is certain. Please send its 17 characters, or a photo of it.

# More work that was found.
ask-approval =
    The shop found more on { $truck }:
    { $items }
    Nothing of this is done unless you say so. May they do it?
again-approval = May the shop do the additional work? Say yes, no, or the numbers that it may do.
approval-item = { $number }. { $what }, { $money }
option-approve = Yes, do it
option-approve-all = Yes, all of it
option-approve-only = Only { $number }: { $what }
option-approve-none = No, none of it
approval-yes = yes, all of it
approval-no = no, none of it
approval-in-part = yes to { $numbers } only
approval-noted = Noted: { $answer }. The shop does that and nothing more. For anything else call { $phone }.
approval-recorded = For { $truck } the shop wrote down what { $who } said about the additional work: { $answer }.
approval-unclear = Which of them? Write the numbers, such as 1 or 1, 3; "yes" is all of it, "no" is none.
approval-too-late = That has been settled already; nothing is changed by this. Call the shop if it is not what you meant.
approver-asked =
    The shop found more on { $truck }:
    { $items }
    It asks { $name }, who approves work on it. Nothing of this is done without a yes.
approval-way-chat = in the chat
approval-way-phone = by phone
approval-way-in-person = in person
approval-way-in-writing = in writing

# Metal in the fuel, once a person has phoned.
metal-phoned = As the shop told you on the phone:
metal-late = The shop was to phone you about this first. So that you know in time:
metal-news =
    { $opening }
    There is metal in the fuel of { $truck }. The pump sheds it, and it has gone into the lines and injectors, so the protection kit was not fitted: it would not undo that.
    Do not start the engine. The shop keeps the parts and a sample of the fuel for you to see.
    What helps is to replace the fuel system, with a kit that guards the new pump: about { $total }, to be confirmed by a qualified technician. Call { $phone } with any question.
    Shall I look for a time?

# For the shop.
the-owner = the owner
staff-slot-taken = { $time } is taken by now. Nothing was changed; ask for other times.
staff-no-chat = This owner has no chat that reaches them: tell them by phone, { $phone }.
staff-closed-no-chat = Closed by { $by }: { $truck }. Print the service record.
staff-no-truck = There is no such truck.
staff-papers-kept = Kept with the truck.
staff-no-kit-with-metal = Metal was found: the protection kit must not be fitted on this system. Close without it, or with the replaced fuel system.
staff-decline-work = Not our work
staff-arrive = Truck is here
staff-missed = Did not come
staff-start = Work begins
staff-phoned-before = The owner has been written to already.
staff-phoned = I have phoned
staff-lengthened = { $truck } takes until { $until }. Noted by { $by }.
staff-arrival-noted = Taken down for { $truck } by { $by }.
staff-entered = Entered by { $by }: { $truck }, { $time }.
staff-offer-unanswered = The owner of { $truck } has not answered the time offered, { $time }. It is still kept for them. Phone { $phone }, or give it back.
staff-parts-order = Order the parts for { $truck } now: they take { $days ->
    [one] one working day
   *[other] { $days } working days
  }. VIN { $vin }.
staff-parts-wait = Do not order the parts for { $truck } yet: the VIN is not certain. They take { $days ->
    [one] one working day
   *[other] { $days } working days
  } from then.
staff-approval-asked = { $by } asked for approval of more work on { $truck }. Nothing of it before the answer.
staff-approver-phone = More work on { $truck } is approved by { $name }: phone { $phone }, then write the answer down with /approved { $id }.
staff-approval-answer =
    { $who } answered { $how }, { $truck }: { $answer }.
    { $items }
staff-item-approved = – do: { $what }
staff-item-refused = – leave: { $what }
staff-approval-unanswered = No answer yet about more work on { $truck }. Phone { $phone }, then write it down with /approved { $id }. Until then nothing of it is done.
staff-metal-written = The owner of { $truck } has the record now, with what the replacement costs.
staff-metal-written-late = Nobody said they had phoned about the metal in { $truck }, so the owner was written to. Phone { $phone } now.
request-nothing-asked = Say what is to be approved, and what it costs.
request-not-approved = Nothing is done that was neither booked nor approved: { $services }. Ask for approval first, or write down who gave it.

follow-up-offer-unanswered = time offered, not answered
follow-up-approval-unanswered = approval not answered
follow-up-hold-ends = end of a held time
follow-up-metal-news = metal found, to be written

staff-move-how = To move it: /move { $id } DAY TIME, such as /move { $id } thu 9:00, with a bay's id behind it where it matters.
staff-move-not-free = That time is not free for this work, or the shop is closed then. Nothing was changed.
staff-longer-how = To lengthen it: /longer { $id } HOURS, such as /longer { $id } 2; fewer hours with a minus.
staff-why-how = Say why, in the words that the owner shall read: /decline { $id } WORDS, /cancel { $id } WORDS.
staff-here-how =
    The truck is here: /here { $id }, and what you took down, with semicolons between, such as
    /here { $id } 97420; keys on hook 4; damage left mirror cracked; limit $300 Ann Lee; old parts yes
staff-more-how =
    More work: /more { $id } WHAT COST; WHAT COST, such as
    /more { $id } EGR cooler leaks $700-900; two coolant hoses $140
staff-approved-how =
    What was said of more work: /approved { $id } yes, no, or the numbers, then how and who, such as
    /approved { $id } 1 by phone Rosalind Oakshott – or: in person, in writing
staff-block-how =
    To block a bay or a person: /block bay-2 thu 9:00 to 12:00 WHY, /block bay-2 thu 9:00 to fri 12:00 WHY,
    or a whole day: /block fenwick 2026-11-05 WHY
staff-blocked = Blocked: { $name }, { $from } to { $to }, { $because }. To give it back: /unblock { $id }
staff-not-blocked = { $name } is not blocked: this stands in the way. Move it first.
staff-held = a time held for an owner for some minutes
staff-blocked-already = blocked already: { $id }
staff-unblocked = Given back.
staff-no-block = There is no such block.
staff-blocks-head = Blocked in the next weeks:
staff-block-line = { $id }: { $name }, { $from } to { $to }, { $because } ({ $by })
staff-enter-how =
    For somebody who phoned or walked in, a line each:
    /enter NAME, PHONE
    the truck in words, such as 2016 6.7 V8 diesel 97k
    services by words of their names, such as oil, fuel filter
    DAY TIME, such as thu 9:00, or open
    what is wrong (may be left out)
staff-service-unclear =
    Which service is "{ $said }"? Near it: { $near }. Nothing was entered; write it again with the name.
staff-papers-how =
    A truck's papers: /papers { $id } with any of these, semicolons between:
    unit 7; driver NAME PHONE; approves NAME PHONE; pays NAME PHONE; PO 4471

# Several trucks of one owner.
fleet-head = Noted:
fleet-noted = – unit { $unit }: { $miles } miles
fleet-noted-next = – unit { $unit }: { $miles } miles. Next { $services } at { $due }, likely { $when }
fleet-doubtful = – unit { $unit }: { $miles } is not taken. { $because } Please look again.
fleet-unknown = – unit { $unit }: I know no truck of that number.
fleet-unit = unit { $unit }
fleet-digest = { $shop } here, about your trucks:
fleet-digest-miles = – { $truck }: about { $guess } miles on it?
fleet-digest-miles-plain = – { $truck }: how many miles are on it?
fleet-digest-due = – { $truck }: { $services } at { $due } miles, { $when }
fleet-digest-how = Answer in one go with what the odometers say, for example: unit { $one } 118400, unit { $other } 97250. Or pick a truck to see times for.
fleet-due-now = Due now: shall I look for times?
option-fleet-times = Times for { $truck }

truck-unit = { $truck } (unit { $unit })
sheet-driver = Drives: { $who }
sheet-approver = Approves: { $who }
sheet-payer = Pays: { $who }
sheet-order = Purchase order { $number }
staff-arrived-no-bay = Arrived: { $truck }. Noted by { $by }. Its bay was given away; /move gives it a time.
