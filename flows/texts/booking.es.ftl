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

# Una hora elegida, mientras el dueño da nombre y número.
slot-held = Aparto { $time } hasta las { $until } para usted.
hold-over = Ya no puedo apartar { $time }. Si sigue libre cuando conteste, es suya; si no, busco otra.

# Lo que el taller hace con una solicitud, como lo lee el dueño.
because-not-ours = es un trabajo que el taller no hace
calendar-withdrawn = Su hora anterior queda libre; el archivo adjunto la quita de su calendario.
in-work = Empezó el trabajo en { $truck }.
lengthened = El trabajo en { $truck } tarda más de lo previsto, hasta { $until } más o menos. Si es un problema, llame al { $phone }.
arrived-with-facts =
    Su camioneta llegó al taller. Lo que se anotó:
    { $facts }
arrival-noted =
    Lo que el taller anotó sobre su camioneta:
    { $facts }
arrival-miles = – odómetro { $miles }
arrival-damage = – daños que ya tenía: { $what }
arrival-no-damage = – no se ven daños por fuera
arrival-keys = – llaves: { $where }
arrival-limit = – diagnóstico y desarme hasta { $dollars } dólares sin volver a preguntar, firmado por { $name }
arrival-parts-kept = – quiere las piezas viejas
arrival-parts-gone = – no hace falta guardar las piezas viejas
vin-kept = Gracias, el VIN está completo y su dígito de control coincide. El taller puede pedir las piezas.
vin-wanted = Una cosa más: las piezas se piden con el VIN, y no antes de que sea seguro. Mande sus 17 caracteres, o una foto.

# Más trabajo que se encontró.
ask-approval =
    El taller encontró algo más en { $truck }:
    { $items }
    Nada de esto se hace si usted no lo dice. ¿Lo pueden hacer?
again-approval = ¿Puede el taller hacer el trabajo adicional? Diga sí, no, o los números que sí.
approval-item = { $number }. { $what }, { $money }
option-approve = Sí, háganlo
option-approve-all = Sí, todo
option-approve-only = Solo { $number }: { $what }
option-approve-none = No, nada
approval-yes = sí, todo
approval-no = no, nada
approval-in-part = sí, solo { $numbers }
approval-noted = Anotado: { $answer }. El taller hace eso y nada más. Para otra cosa llame al { $phone }.
approval-recorded = Para { $truck } el taller anotó lo que { $who } dijo del trabajo adicional: { $answer }.
approval-unclear = ¿Cuáles? Escriba los números, como 1 o 1, 3; "sí" es todo, "no" es nada.
approval-too-late = Eso ya está decidido; esto no cambia nada. Llame al taller si no es lo que quería.
approver-asked =
    El taller encontró algo más en { $truck }:
    { $items }
    Le pregunta a { $name }, quien aprueba el trabajo. Nada de esto se hace sin un sí.
approval-way-chat = en el chat
approval-way-phone = por teléfono
approval-way-in-person = en persona
approval-way-in-writing = por escrito

# Metal en el combustible, después de que una persona llamó.
metal-phoned = Como le dijo el taller por teléfono:
metal-late = El taller iba a llamarle primero. Para que lo sepa a tiempo:
metal-news =
    { $opening }
    Hay metal en el combustible de { $truck }. Lo suelta la bomba y ya llegó a las líneas y a los inyectores, así que no se montó el kit de protección: eso no lo remedia.
    No arranque el motor. El taller guarda las piezas y una muestra del combustible para que usted las vea.
    Lo que ayuda es cambiar el sistema de combustible, con un kit que cuide la bomba nueva: unos { $total }, por confirmar con un técnico calificado. Llame al { $phone } si tiene preguntas.
    ¿Busco una hora?

# Para el taller.
the-owner = el dueño
staff-slot-taken = { $time } ya está ocupada. No se cambió nada; pida otras horas.
staff-no-chat = A este dueño no le llega ningún chat: dígaselo por teléfono, { $phone }.
staff-closed-no-chat = Cerrado por { $by }: { $truck }. Imprima el registro de servicio.
staff-no-truck = No existe esa camioneta.
staff-papers-kept = Guardado con la camioneta.
staff-no-kit-with-metal = Se encontró metal: el kit de protección no se monta en este sistema. Cierre sin él, o con el sistema de combustible cambiado.
staff-decline-work = No es trabajo nuestro
staff-arrive = La camioneta llegó
staff-missed = No vino
staff-start = Empieza el trabajo
staff-phoned-before = Al dueño ya se le escribió.
staff-phoned = Ya llamé
staff-lengthened = { $truck } tarda hasta { $until }. Lo anotó { $by }.
staff-arrival-noted = Anotado para { $truck } por { $by }.
staff-entered = Lo apuntó { $by }: { $truck }, { $time }.
staff-offer-unanswered = El dueño de { $truck } no contestó la hora ofrecida, { $time }. Sigue apartada. Llame al { $phone }, o devuélvala.
staff-parts-order = Pida ya las piezas para { $truck }: tardan { $days ->
    [one] un día hábil
   *[other] { $days } días hábiles
  }. VIN { $vin }.
staff-parts-wait = Todavía no pida las piezas para { $truck }: el VIN no es seguro. Tardan { $days ->
    [one] un día hábil
   *[other] { $days } días hábiles
  } desde entonces.
staff-approval-asked = { $by } pidió aprobar más trabajo en { $truck }. Nada de eso antes de la respuesta.
staff-approver-phone = Más trabajo en { $truck } lo aprueba { $name }: llame al { $phone } y anote la respuesta con /approved { $id }.
staff-approval-answer =
    { $who } contestó { $how }, { $truck }: { $answer }.
    { $items }
staff-item-approved = – hacer: { $what }
staff-item-refused = – dejar: { $what }
staff-approval-unanswered = Sin respuesta sobre más trabajo en { $truck }. Llame al { $phone } y anótela con /approved { $id }. Mientras tanto no se hace nada de eso.
staff-metal-written = El dueño de { $truck } ya tiene el registro, con lo que cuesta el cambio.
staff-metal-written-late = Nadie dijo haber llamado por el metal en { $truck }, así que se le escribió al dueño. Llame ya al { $phone }.
request-nothing-asked = Diga qué hay que aprobar y cuánto cuesta.
request-not-approved = No se hace nada que no se reservó ni se aprobó: { $services }. Pida primero la aprobación, o anote quién la dio.

follow-up-offer-unanswered = hora ofrecida sin respuesta
follow-up-approval-unanswered = aprobación sin respuesta
follow-up-hold-ends = fin de una hora apartada
follow-up-metal-news = metal encontrado, por escribir

staff-move-how = Para cambiar la hora: /move { $id } DÍA HORA, como /move { $id } thu 9:00, y la bahía si importa.
staff-move-not-free = Esa hora no está libre para este trabajo, o el taller está cerrado. No se cambió nada.
staff-longer-how = Para alargarlo: /longer { $id } HORAS, como /longer { $id } 2; menos horas con un menos.
staff-why-how = Diga por qué, con las palabras que leerá el dueño: /decline { $id } PALABRAS, /cancel { $id } PALABRAS.
staff-here-how =
    La camioneta llegó: /here { $id } y lo que se anotó, con punto y coma, como
    /here { $id } 97420; keys on hook 4; damage left mirror cracked; limit $300 Ann Lee; old parts yes
staff-more-how =
    Más trabajo: /more { $id } QUÉ COSTO; QUÉ COSTO, como
    /more { $id } EGR cooler leaks $700-900; two coolant hoses $140
staff-approved-how =
    Lo que se dijo: /approved { $id } yes, no, o los números, luego cómo y quién, como
    /approved { $id } 1 by phone Rosalind Oakshott – o: in person, in writing
staff-block-how =
    Para bloquear una bahía o persona: /block bay-2 thu 9:00 to 12:00 POR QUÉ, /block bay-2 thu 9:00 to fri 12:00 POR QUÉ,
    o un día entero: /block fenwick 2026-11-05 POR QUÉ
staff-blocked = Bloqueado: { $name }, { $from } a { $to }, { $because }. Para devolverlo: /unblock { $id }
staff-not-blocked = { $name } no se bloqueó: esto estorba. Muévalo primero.
staff-held = una hora apartada unos minutos para un dueño
staff-blocked-already = ya bloqueado: { $id }
staff-unblocked = Devuelto.
staff-no-block = No existe ese bloqueo.
staff-blocks-head = Bloqueado en las próximas semanas:
staff-block-line = { $id }: { $name }, { $from } a { $to }, { $because } ({ $by })
staff-enter-how =
    Para quien llamó o llegó, una línea para cada cosa:
    /enter NOMBRE, TELÉFONO
    la camioneta en palabras, como 2016 6.7 V8 diesel 97k
    servicios por palabras de su nombre, como aceite, filtros de combustible
    DÍA HORA, como thu 9:00, o open
    qué tiene (se puede omitir)
staff-service-unclear =
    ¿Qué servicio es «{ $said }»? Cerca: { $near }. No se anotó nada; escríbalo otra vez con el nombre.
staff-papers-how =
    Los papeles de una camioneta: /papers { $id } con lo que haya, con punto y coma:
    unit 7; driver NOMBRE TELÉFONO; approves NOMBRE TELÉFONO; pays NOMBRE TELÉFONO; PO 4471

# Varias camionetas de un dueño.
fleet-head = Anotado:
fleet-noted = – unidad { $unit }: { $miles } millas
fleet-noted-next = – unidad { $unit }: { $miles } millas. Sigue { $services } a las { $due }, más o menos { $when }
fleet-doubtful = – unidad { $unit }: { $miles } no se anotó. { $because } Mire otra vez, por favor.
fleet-unknown = – unidad { $unit }: no conozco una camioneta con ese número.
fleet-unit = unidad { $unit }
fleet-digest = Aquí { $shop }, por sus camionetas:
fleet-digest-miles = – { $truck }: ¿marca unas { $guess } millas?
fleet-digest-miles-plain = – { $truck }: ¿cuántas millas marca?
fleet-digest-due = – { $truck }: { $services } a las { $due } millas, { $when }
fleet-digest-how = Conteste de una vez con lo que marcan los odómetros, por ejemplo: unidad { $one } 118400, unidad { $other } 97250. O elija una camioneta para ver horas.
fleet-due-now = Ya toca: ¿busco horas?
option-fleet-times = Horas para { $truck }

truck-unit = { $truck } (unidad { $unit })
sheet-driver = Maneja: { $who }
sheet-approver = Aprueba: { $who }
sheet-payer = Paga: { $who }
sheet-order = Orden de compra { $number }
staff-arrived-no-bay = Llegó: { $truck }. Lo anotó { $by }. Su bahía ya se dio; con /move recibe una hora.
