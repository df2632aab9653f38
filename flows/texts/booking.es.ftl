# Por qué no se ofrece nada antes, o nada a la hora pedida: una frase cada uno.
slots-none = No hay nada libre en los próximos { $days } días; por favor llame al taller al { $phone }.
slots-no-bay = Ninguna de nuestras bahías admite esta camioneta para este trabajo; por favor llame al taller al { $phone }.
slots-full = Todo lo anterior está ocupado.
slots-parts = Las piezas para este trabajo pueden estar aquí el { $day }, no antes{ $vin ->
    [open] , y se piden cuando el VIN esté confirmado
   *[sure] { "" }
  }.
slots-tow-in = La camioneta se puede dejar en el patio a cualquier hora de apertura; estas son las primeras horas libres en una bahía.
slots-today = Es lo más pronto que el taller puede prepararse para usted.
slots-closed = El taller está cerrado el { $day } ({ $why }).
slots-too-long = El trabajo toma { $hours ->
    [one] alrededor de una hora
   *[other] unas { $hours } horas
  } y ya no cabe en un día anterior.
slots-too-long-to-wait = El trabajo toma { $hours ->
    [one] alrededor de una hora
   *[other] unas { $hours } horas
  }, demasiado para esperar; se puede dejar la camioneta.
slots-next-opening = Es el próximo día en que abre el taller.
slots-wanted = Es la hora que usted pidió.
slots-wanted-past = La hora que pidió ya pasó; estas son las siguientes.
slots-wanted-far = Nuestra agenda está abierta solo hasta el { $day }; estas son las horas más cercanas.
slots-wanted-full = Todo lo que hay a la hora que pidió está ocupado; estas son las más cercanas.
slots-wanted-parts = Las piezas para este trabajo pueden estar aquí el { $day }, no antes{ $vin ->
    [open] , y se piden cuando el VIN esté confirmado
   *[sure] { "" }
  }; estas son las horas más cercanas.
slots-wanted-notice = La hora que pidió es demasiado pronto para que el taller se prepare; estas son las más cercanas.
slots-wanted-closed = El taller está cerrado el { $day } ({ $why }); estas son las horas más cercanas.
slots-wanted-shut = El taller no está abierto a la hora que pidió; estas son las más cercanas.
slots-wanted-too-long = El trabajo toma { $hours ->
    [one] alrededor de una hora
   *[other] unas { $hours } horas
  } y no cabe en el tiempo que pidió; estas son las más cercanas.

# Por qué se rechaza una acción sobre una solicitud, a quien la hizo.
request-already = { $name } ya { $state ->
    [accepted] aceptó esta solicitud
    [declined] rechazó esta solicitud
    [other-time] ofreció otra hora para esta solicitud
    [cancelled] canceló esta solicitud
    [arrived] marcó la llegada
    [no-show] marcó que no vino
    [in-work] empezó el trabajo
    [awaiting-approval] pidió aprobación
    [closed] cerró esta solicitud
    [moved] cambió la hora
   *[requested] cambió esta solicitud
  }.
request-not-now = Eso no se puede hacer ahora: la solicitud { $state ->
    [requested] espera la respuesta del taller
    [accepted] está aceptada
    [declined] está rechazada
    [other-time] espera la respuesta del dueño a otra hora
    [cancelled] está cancelada
    [arrived] está en el taller, la camioneta ya llegó
    [no-show] está marcada como no presentada
    [in-work] está en trabajo
    [awaiting-approval] espera aprobación
   *[closed] está cerrada
  }.
request-no-time = La solicitud todavía no tiene hora; primero ofrezca una.
request-time-past = Esa hora ya pasó.
request-not-due = Todavía no llega la hora de la cita.

# En el calendario del dueño.
calendar-summary = { $work } en { $shop }
calendar-description = Para cambiar o cancelar, escriba en el chat o llame al { $phone }.

# Qué está mal en una fila de una lista de camionetas, para la prueba antes de importar.
list-unreadable = La fila no se puede leer: { $why ->
    [quotes] falta una comilla o está en mal lugar
    [cells] tiene más celdas que el encabezado
   *[size] el archivo es demasiado largo; divídalo
  }.
list-missing = Falta "{ $column }".
list-not-a-number = "{ $column }" es "{ $value }": se esperaba un número como 97000.
list-out-of-range = "{ $column }" es "{ $value }": se esperaba de { $low } a { $high }.
list-too-long = "{ $column }" tiene más de { $most } caracteres.
list-not-a-date = "{ $column }" es "{ $value }": se esperaba un día como 2026-05-02 o 5/2/2026.
list-date-ahead = "{ $column }" es "{ $value }": ese día todavía no llega.
list-unknown-service = "{ $column }" nombra "{ $name }", que el taller no ofrece.
list-vin = "{ $value }" no es un VIN: el dígito de control no coincide.
list-phone = "{ $value }" no es un número de teléfono.
list-not-one-of = "{ $column }" es "{ $value }": se esperaba uno de { $names }.
list-needs-too = "{ $column }" está sin "{ $other }".
list-twice = La camioneta ya está en la línea { $line }.
