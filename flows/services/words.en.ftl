line = { $name }
line-shared = { $name } (only what it adds to the other work of this visit)
line-within = { $name } (done with the other work of this visit)
line-not-for-engine = { $name } (not made for this engine or for its present pump, so not priced)
line-gasoline = { $name } (not priced; we work on diesel trucks only)
line-kit-unconfirmed = { $line } (the shop confirms first that the truck has the pump in question and that a kit is made for it)
limit = Diagnosis ends at { $hours } h of labor, { $amount } at most. Anything beyond that, and any repair, is estimated and asked for first.
break-even = Fitting the kit costs about { $installedLow } to { $installedHigh }. Where the pump sheds metal without it, rails, injectors, lines and cleaning cost about { $avoidedLow } to { $avoidedHigh } on top of the pump; the pump itself the kit does not save. So the kit pays for itself if the chance of such a failure while you own the truck is above { $chanceLow } to { $chanceHigh }. We know of no published figure for that chance and give none.
