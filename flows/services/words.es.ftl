line = { $name }
line-shared = { $name } (solo lo que agrega al otro trabajo de esta visita)
line-within = { $name } (se hace con el otro trabajo de esta visita)
line-not-for-engine = { $name } (no existe para este motor o su bomba actual, por eso no se cotiza)
line-gasoline = { $name } (no se cotiza; solo trabajamos con camionetas diésel)
line-kit-unconfirmed = { $line } (el taller confirma antes que la camioneta tiene la bomba en cuestión y que existe un kit para ella)
limit = El diagnóstico termina a las { $hours } h de mano de obra, { $amount } como máximo. Lo que pase de ahí, y cualquier reparación, se cotiza y se autoriza antes.
break-even = Montar el kit cuesta unos { $installedLow } a { $installedHigh }. Si la bomba suelta metal sin él, rieles, inyectores, tuberías y limpieza cuestan unos { $avoidedLow } a { $avoidedHigh } además de la bomba; la bomba misma no la salva el kit. Así, el kit se paga solo si la probabilidad de esa falla mientras tenga usted la camioneta pasa de { $chanceLow } a { $chanceHigh }. No conocemos una cifra publicada de esa probabilidad y no damos ninguna.
