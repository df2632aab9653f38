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
