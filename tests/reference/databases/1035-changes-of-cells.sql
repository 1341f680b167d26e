begin;
CREATE TABLE "schema_version" ("version" integer primary key, "name" text not null, "applied_at" bigint not null);
CREATE TABLE "part_number" ("id" integer primary key, "number" text not null, "revision" text not null, "name" text, constraint "part_number_named" unique ("number", "revision"));
CREATE TABLE "characteristic" ("id" integer primary key, "part_number_id" integer not null references "part_number" ("id"), "designator" text not null, "name" text not null, "kind" text not null, "nominal" double precision, "lower" double precision, "upper" double precision, "unit" text not null, "axis" text, "own_limits" text, constraint "characteristic_designated" unique ("part_number_id", "designator"), constraint "characteristic_limits" check (lower <= upper));
CREATE TABLE "build" ("id" integer primary key, "name" text not null unique, "printed_at" bigint, "printer" text, "build_box" text, "powder_lot" text, "powder_reuse" integer, "scale_x" double precision, "scale_y" double precision, "scale_z" double precision, "conditions" text not null);
CREATE TABLE "furnace_load" ("id" integer primary key, "name" text not null unique, "sintered_at" bigint, "furnace" text, "profile" text, "atmosphere" text, "conditions" text not null);
CREATE TABLE "part" ("id" integer primary key, "part_number_id" integer not null references "part_number" ("id"), "serial" text not null, "build_id" integer not null references "build" ("id"), "bed_x" double precision, "bed_y" double precision, "bed_z" double precision, "furnace_load_id" integer references "furnace_load" ("id"), "tray" text, "tray_place" text, "stages" integer not null, constraint "part_serial" unique ("part_number_id", "serial"));
CREATE TABLE "gauge" ("id" integer primary key, "name" text not null unique);
CREATE TABLE "inspector" ("id" integer primary key, "name" text not null unique);
CREATE TABLE "import" ("id" integer primary key, "sha256" text not null unique, "file_name" text not null, "bytes" bigint not null, "kind" text not null, "verdict" text not null, "who" text not null, "at" bigint not null, "rows_read" integer not null, "rows_taken" integer not null, "rows_refused" integer not null, "out_of_specification" integer not null, "receipt" text not null);
CREATE TABLE "cell" ("id" integer primary key, "characteristic_id" integer not null references "characteristic" ("id"), "build_id" integer not null references "build" ("id"), "furnace_load_id" integer references "furnace_load" ("id"), "stage" text not null, "n" integer not null, "mean" double precision not null, "m2" double precision not null, "min" double precision not null, "max" double precision not null, constraint "cell_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "measurement" ("cell_id" integer not null references "cell" ("id"), "part_id" integer not null references "part" ("id"), "replicate" integer not null, "value" double precision not null, "gauge_id" integer references "gauge" ("id"), "inspector_id" integer references "inspector" ("id"), "measured_at" bigint, "import_id" integer not null references "import" ("id"), "line" integer not null, constraint "measurement_key" primary key ("cell_id", "part_id", "replicate")) without rowid;
CREATE TABLE "measured_build" ("part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "build_id" integer not null references "build" ("id"), "parts" integer not null, constraint "measured_build_key" primary key ("part_number_id", "stage", "build_id"), constraint "measured_build_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "build_gauge" ("build_id" integer not null references "build" ("id"), "part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "gauge_id" integer not null references "gauge" ("id"), constraint "build_gauge_key" primary key ("part_number_id", "stage", "build_id", "gauge_id"), constraint "build_gauge_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "token" ("id" integer primary key, "name" text not null unique, "sha256" text not null unique, "created_at" bigint not null, "revoked_at" bigint);
CREATE TABLE "layout" ("fingerprint" text primary key, "choices" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "withdrawal" ("import_id" integer primary key references "import" ("id"), "who" text not null, "reason" text not null, "at" bigint not null);
CREATE TABLE "withdrawn_measurement" ("import_id" integer not null references "import" ("id"), "number" integer not null, "line" integer not null, "serial" text not null, "characteristic_id" integer not null references "characteristic" ("id"), "build_id" integer not null references "build" ("id"), "furnace_load_id" integer references "furnace_load" ("id"), "stage" text not null, "replicate" integer not null, "value" double precision not null, "gauge_id" integer references "gauge" ("id"), "inspector_id" integer references "inspector" ("id"), "measured_at" bigint, "measured" double precision, "own_lower" double precision, "own_upper" double precision, constraint "withdrawn_measurement_key" primary key ("import_id", "number"), constraint "withdrawn_measurement_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "cell_buckets" ("cell_id" integer primary key references "cell" ("id") on delete cascade, "buckets" blob not null);
CREATE TABLE "study_version" ("characteristic_id" integer not null references "characteristic" ("id"), "stage" text not null, "version" integer not null, "study" text not null, "change" text not null, "reason" text not null, "who" text not null, "at" bigint not null, constraint "study_version_key" primary key ("characteristic_id", "stage", "version"), constraint "study_version_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "exclusion" ("id" integer primary key, "characteristic_id" integer not null references "characteristic" ("id"), "stage" text not null, "build_id" integer not null references "build" ("id"), "serial" text, "replicate" integer, "import_id" integer references "import" ("id"), "undoes" integer unique references "exclusion" ("id"), "reason" text not null, "who" text not null, "at" bigint not null, constraint "exclusion_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "finding" ("id" integer not null, "revision" integer not null, "part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "characteristics" text not null, "from_build_id" integer not null references "build" ("id"), "to_build_id" integer not null references "build" ("id"), "cause" text not null, "action" text not null, "state" text not null, "verified" text not null, "who" text not null, "at" bigint not null, constraint "finding_key" primary key ("id", "revision"), constraint "finding_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "remark" ("id" integer not null, "revision" integer not null, "part_number_id" integer not null references "part_number" ("id"), "build_id" integer not null references "build" ("id"), "text" text, "who" text not null, "at" bigint not null, constraint "remark_key" primary key ("id", "revision"));
CREATE TABLE "report" ("id" integer primary key, "part_number_id" integer not null references "part_number" ("id"), "title" text not null, "fingerprint" text not null, "content" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "report_copy" ("sha256" text primary key, "report_id" integer not null references "report" ("id"), "format" text not null, "at" bigint not null);
CREATE TABLE "factor_decision" ("id" integer primary key, "part_number_id" integer not null references "part_number" ("id"), "first_build" text not null, "after_build_id" integer not null references "build" ("id"), "content" text not null, "reason" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "shrinkage_settings" ("part_number_id" integer not null references "part_number" ("id"), "version" integer not null, "content" text not null, "reason" text not null, "who" text not null, "at" bigint not null, constraint "shrinkage_settings_key" primary key ("part_number_id", "version"));
CREATE TABLE "factor_decision_taken_back" ("decision_id" integer primary key references "factor_decision" ("id"), "reason" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "repeat_choice" ("characteristic_id" integer not null references "characteristic" ("id"), "stage" text not null, "choice" text not null, constraint "repeat_choice_key" primary key ("characteristic_id", "stage"));
CREATE TABLE "record_entry" ("sequence" integer primary key, "at" bigint not null, "kind" text not null, "about" text not null, "details" text not null, "personal" text not null, "previous" text not null unique, "hash" text not null unique);
CREATE TABLE "record_personal" ("sequence" integer primary key references "record_entry" ("sequence"), "who" text, "content" text not null, "salt" text not null);
CREATE TABLE "record_about" ("kind" text not null, "id" integer not null, "sequence" integer not null references "record_entry" ("sequence"), constraint "record_about_key" primary key ("kind", "id", "sequence"));
CREATE TABLE "record_erased" ("sequence" integer not null references "record_entry" ("sequence"), "erasure" integer not null references "record_entry" ("sequence"), "personal" text not null, constraint "record_erased_key" primary key ("sequence", "erasure"));
CREATE TABLE "person" ("id" integer primary key, "name" text not null, "name_key" text not null unique, "role" text not null, "password" text, "created_at" bigint not null, "disabled_at" bigint, constraint "person_role" check (role in ('inspector', 'process engineer', 'supplier quality', 'administrator')));
CREATE TABLE "password_link" ("sha256" text primary key, "person_id" integer not null references "person" ("id"), "made_at" bigint not null, "expires_at" bigint not null, "closed_at" bigint);
CREATE TABLE "guest_link" ("id" integer primary key, "sha256" text not null unique, "report_id" integer not null references "report" ("id"), "given_to" text not null, "who" text not null, "made_at" bigint not null, "expires_at" bigint not null, "revoked_at" bigint);
CREATE TABLE "session" ("id" integer primary key, "sha256" text not null unique, "person_id" integer references "person" ("id"), "guest_link_id" integer references "guest_link" ("id"), "started_at" bigint not null, "seen_at" bigint not null, "expires_at" bigint not null, "ended_at" bigint, "address" text not null, "browser" text not null, constraint "session_whose" check ((person_id is null) <> (guest_link_id is null)));
CREATE TABLE "token_scope" ("token_id" integer not null, "scope" text not null, constraint "token_scope_key" primary key ("token_id", "scope"));
CREATE TABLE "notice_settings" ("version" integer primary key, "content" text not null, "reason" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "webhook_secret" ("id" integer primary key, "secret" text not null);
CREATE TABLE "watched_series" ("part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "since" bigint not null, constraint "watched_series_key" primary key ("part_number_id", "stage"));
CREATE TABLE "event_notice" ("id" integer primary key, "content" text not null, "at" bigint not null);
CREATE TABLE "known_event" ("id" integer primary key, "part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "aspect" text not null, "characteristics" text not null, "from_build_id" integer not null, "earliest_build_id" integer not null, "latest_build_id" integer not null, "to_build_id" integer, "state" text not null, "basis" integer not null, "notice_id" integer references "event_notice" ("id"));
CREATE TABLE "notice_delivery" ("id" integer primary key, "notice_id" integer not null references "event_notice" ("id"), "channel" text not null, "target" text not null, "state" text not null, "tries" integer not null, "next_at" bigint not null, "claimed_until" bigint, "last_try_at" bigint, "last_error" text);
CREATE TABLE "customer_requirements" ("part_number_id" integer not null references "part_number" ("id"), "version" integer not null, "content" text not null, "reason" text not null, "who" text not null, "at" bigint not null, constraint "customer_requirements_key" primary key ("part_number_id", "version"));
CREATE TABLE "gauge_entry" ("gauge_id" integer not null references "gauge" ("id"), "version" integer not null, "content" text not null, "reason" text not null, "who" text not null, "at" bigint not null, constraint "gauge_entry_key" primary key ("gauge_id", "version"));
CREATE TABLE "gauge_plan" ("id" integer primary key, "characteristic_id" integer references "characteristic" ("id"), "gauge_id" integer references "gauge" ("id"), "content" text not null, "who" text not null, "at" bigint not null);
CREATE TABLE "gauge_study" ("id" integer primary key, "import_id" integer not null references "import" ("id"), "plan_id" integer references "gauge_plan" ("id"), "characteristic_id" integer references "characteristic" ("id"));
CREATE TABLE "gauge_reading" ("study_id" integer not null references "gauge_study" ("id"), "number" integer not null, "line" integer not null, "part" text not null, "inspector" text not null, "trial" integer, "value" double precision not null, "gauge_id" integer references "gauge" ("id"), "reference" double precision, "measured_at" bigint, constraint "gauge_reading_key" primary key ("study_id", "number"));
CREATE TABLE "own_limits" (
      part_id integer not null references part (id),
      characteristic_id integer not null references characteristic (id),
      stage text not null,
      replicate integer not null,
      import_id integer not null references import (id),
      measured double precision not null,
      lower double precision,
      upper double precision,
      constraint own_limits_key primary key (part_id, characteristic_id, stage, replicate),
      constraint own_limits_stage check (stage in ('green', 'sintered', 'finished')),
      constraint own_limits_given check (coalesce(lower, upper) is not null)
    ) without rowid;
CREATE TABLE "build_load" ("build_id" integer not null references "build" ("id"), "part_number_id" integer not null references "part_number" ("id"), "stage" text not null, "furnace_load_id" integer not null references "furnace_load" ("id"), constraint "build_load_key" primary key ("part_number_id", "stage", "build_id", "furnace_load_id"), constraint "build_load_stage" check (stage in ('green', 'sintered', 'finished')));
CREATE TABLE "cell_change" ("part_number_id" integer not null, "stage" text not null, "build_id" integer not null, "change" bigint not null, constraint "cell_change_key" primary key ("part_number_id", "stage", "build_id"));
insert into "schema_version" values (1,'first tables',1795606256);
insert into "schema_version" values (2,'tokens',1795606256);
insert into "schema_version" values (3,'layouts and withdrawals',1795606256);
insert into "schema_version" values (4,'counts in buckets',1795606256);
insert into "schema_version" values (100,'decisions',1795606256);
insert into "schema_version" values (200,'reports',1795606256);
insert into "schema_version" values (300,'factor decisions',1795606256);
insert into "schema_version" values (301,'shrinkage settings',1795606256);
insert into "schema_version" values (400,'which of several measurements counts',1795606256);
insert into "schema_version" values (500,'record',1795606256);
insert into "schema_version" values (501,'record index',1795606256);
insert into "schema_version" values (600,'people',1795606256);
insert into "schema_version" values (700,'event notices',1795606256);
insert into "schema_version" values (800,'customer requirements',1795606256);
insert into "schema_version" values (900,'gauge studies',1795606256);
insert into "schema_version" values (1000,'limits of a part’s own',1795606256);
insert into "schema_version" values (1001,'limits of a part’s own by their key',1795606256);
insert into "schema_version" values (1030,'furnace loads of builds',1795606256);
insert into "schema_version" values (1035,'changes of cells',1795606256);
insert into "part_number" values (1,'HB-204','C',NULL);
insert into "characteristic" values (1,1,'1','Overall length','length',42.0,41.9,42.1,'mm',NULL,NULL);
insert into "characteristic" values (2,1,'2','Bore','diameter',8.0,7.95,8.05,'mm',NULL,NULL);
insert into "build" values (1,'B1',1777680000,NULL,NULL,'K5',NULL,NULL,NULL,NULL,'{}');
insert into "build" values (2,'B2',1777766400,NULL,NULL,'K6',NULL,NULL,NULL,NULL,'{}');
insert into "part" values (1,1,'S0',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (2,1,'S1',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (3,1,'S2',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (4,1,'S3',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (5,1,'S4',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (6,1,'S5',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (7,1,'S6',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (8,1,'S7',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (9,1,'S8',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (10,1,'S9',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (11,1,'S10',1,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "part" values (12,1,'S11',2,NULL,NULL,NULL,NULL,NULL,NULL,2);
insert into "gauge" values (1,'CMM-1');
insert into "import" values (1,'38f0ee3223b16fa0eafa4c1892172d0a08be51af70711839fef8718dfec28a81','brought.csv',156,'characteristics','taken','M. Inspector',1795606256,2,2,0,0,'{"verdict":"taken","fileName":"brought.csv","sha256":"38f0ee3223b16fa0eafa4c1892172d0a08be51af70711839fef8718dfec28a81","bytes":156,"problem":null,"who":"M. Inspector","at":1795606256,"importId":1,"kind":"characteristics","dialect":"UTF-8, comma, decimal point","columns":[{"heading":"part_number","meaning":"part number"},{"heading":"revision","meaning":"revision"},{"heading":"designator","meaning":"characteristic (designator)"},{"heading":"name","meaning":"name of the characteristic"},{"heading":"kind","meaning":"kind of characteristic"},{"heading":"nominal","meaning":"nominal"},{"heading":"lower","meaning":"lower specification limit"},{"heading":"upper","meaning":"upper specification limit"},{"heading":"unit","meaning":"unit"}],"rowsRead":2,"rowsTaken":2,"rowsRefused":0,"refused":[],"notes":[{"text":"Part numbers that were not on record were created: HB-204 revision C."},{"text":"Characteristics of HB-204 C were created: 1, 2."}],"remedies":[],"partNumbers":[{"number":"HB-204","revision":"C"}],"outOfSpecification":0,"earlierImportId":null,"reading":{"shape":null,"headingLine":1,"columns":[{"position":1,"heading":"part_number","role":"partNumber","inWords":"part number"},{"position":2,"heading":"revision","role":"revision","inWords":"revision"},{"position":3,"heading":"designator","role":"characteristic","inWords":"characteristic (designator)"},{"position":4,"heading":"name","role":"characteristicName","inWords":"name of the characteristic"},{"position":5,"heading":"kind","role":"kind","inWords":"kind of characteristic"},{"position":6,"heading":"nominal","role":"nominal","inWords":"nominal"},{"position":7,"heading":"lower","role":"lower","inWords":"lower specification limit"},{"position":8,"heading":"upper","role":"upper","inWords":"upper specification limit"},{"position":9,"heading":"unit","role":"unit","inWords":"unit"}],"roles":[{"role":"values","inWords":"measured values"},{"role":"partNumber","inWords":"part number"},{"role":"revision","inWords":"revision"},{"role":"partName","inWords":"name of the part"},{"role":"serial","inWords":"serial number"},{"role":"build","inWords":"build"},{"role":"furnaceLoad","inWords":"furnace load"},{"role":"tray","inWords":"tray"},{"role":"trayPlace","inWords":"place on the tray"},{"role":"unit","inWords":"unit"},{"role":"stage","inWords":"stage"},{"role":"replicate","inWords":"replicate"},{"role":"measuredAt","inWords":"time of measurement"},{"role":"timeOfDay","inWords":"time of day of the measurement"},{"role":"gauge","inWords":"gauge"},{"role":"inspector","inWords":"inspector"},{"role":"characteristic","inWords":"characteristic (designator)"},{"role":"characteristicName","inWords":"name of the characteristic"},{"role":"nominal","inWords":"nominal"},{"role":"lower","inWords":"lower specification limit"},{"role":"upper","inWords":"upper specification limit"},{"role":"tolerance","inWords":"tolerance, plus and minus"},{"role":"plusTolerance","inWords":"plus tolerance"},{"role":"minusTolerance","inWords":"minus tolerance"},{"role":"ownUpper","inWords":"upper limit of the part’s own"},{"role":"ownLower","inWords":"lower limit of the part’s own"},{"role":"bonus","inWords":"bonus tolerance of the part"},{"role":"value","inWords":"measured value"},{"role":"deviation","inWords":"deviation from nominal"},{"role":"bedX","inWords":"place in the bed, X"},{"role":"bedY","inWords":"place in the bed, Y"},{"role":"bedZ","inWords":"place in the bed, Z"}],"decimalMark":".","dateOrder":null,"values":"deviation","context":[],"rows":[],"questions":[],"remembered":null}}');
insert into "import" values (2,'704bfc7c967101641a121a1e501431ce7e735789505341866778881d93d70ab7','brought.csv',59,'builds','taken','M. Inspector',1795606256,2,2,0,0,'{"verdict":"taken","fileName":"brought.csv","sha256":"704bfc7c967101641a121a1e501431ce7e735789505341866778881d93d70ab7","bytes":59,"problem":null,"who":"M. Inspector","at":1795606256,"importId":2,"kind":"builds","dialect":"UTF-8, comma, whole numbers","columns":[{"heading":"build","meaning":"build"},{"heading":"printed","meaning":"time of printing"},{"heading":"powder lot","meaning":"powder lot"}],"rowsRead":2,"rowsTaken":2,"rowsRefused":0,"refused":[],"notes":[{"text":"Builds that were not on record were created: B1, B2."}],"remedies":[],"partNumbers":[],"outOfSpecification":0,"earlierImportId":null,"reading":{"shape":null,"headingLine":1,"columns":[{"position":1,"heading":"build","role":"build","inWords":"build"},{"position":2,"heading":"printed","role":"printedAt","inWords":"time of printing"},{"position":3,"heading":"powder lot","role":"powderLot","inWords":"powder lot"}],"roles":[{"role":"values","inWords":"measured values"},{"role":"partNumber","inWords":"part number"},{"role":"revision","inWords":"revision"},{"role":"partName","inWords":"name of the part"},{"role":"serial","inWords":"serial number"},{"role":"build","inWords":"build"},{"role":"furnaceLoad","inWords":"furnace load"},{"role":"tray","inWords":"tray"},{"role":"trayPlace","inWords":"place on the tray"},{"role":"unit","inWords":"unit"},{"role":"stage","inWords":"stage"},{"role":"replicate","inWords":"replicate"},{"role":"measuredAt","inWords":"time of measurement"},{"role":"timeOfDay","inWords":"time of day of the measurement"},{"role":"gauge","inWords":"gauge"},{"role":"inspector","inWords":"inspector"},{"role":"characteristic","inWords":"characteristic (designator)"},{"role":"characteristicName","inWords":"name of the characteristic"},{"role":"nominal","inWords":"nominal"},{"role":"lower","inWords":"lower specification limit"},{"role":"upper","inWords":"upper specification limit"},{"role":"tolerance","inWords":"tolerance, plus and minus"},{"role":"plusTolerance","inWords":"plus tolerance"},{"role":"minusTolerance","inWords":"minus tolerance"},{"role":"ownUpper","inWords":"upper limit of the part’s own"},{"role":"ownLower","inWords":"lower limit of the part’s own"},{"role":"bonus","inWords":"bonus tolerance of the part"},{"role":"value","inWords":"measured value"},{"role":"deviation","inWords":"deviation from nominal"},{"role":"bedX","inWords":"place in the bed, X"},{"role":"bedY","inWords":"place in the bed, Y"},{"role":"bedZ","inWords":"place in the bed, Z"}],"decimalMark":null,"dateOrder":null,"values":"deviation","context":[],"rows":[],"questions":[],"remembered":null}}');
insert into "import" values (3,'29f58aaf13ed65359157cc7c4726ee3f8299499149b34af6e9514387ad99d3be','brought.csv',728,'measurements','taken','M. Inspector',1795606256,24,24,0,0,'{"verdict":"taken","fileName":"brought.csv","sha256":"29f58aaf13ed65359157cc7c4726ee3f8299499149b34af6e9514387ad99d3be","bytes":728,"problem":null,"who":"M. Inspector","at":1795606256,"importId":3,"kind":"measurements","dialect":"UTF-8, comma, decimal point","columns":[{"heading":"part_number","meaning":"part number"},{"heading":"revision","meaning":"revision"},{"heading":"serial","meaning":"serial number"},{"heading":"build","meaning":"build"},{"heading":"characteristic","meaning":"characteristic (designator)"},{"heading":"value","meaning":"measured value"},{"heading":"gauge","meaning":"gauge"}],"rowsRead":24,"rowsTaken":24,"rowsRefused":0,"refused":[],"notes":[{"text":"The file has no column for the stage: its values were taken as sintered."}],"remedies":[],"partNumbers":[{"number":"HB-204","revision":"C"}],"outOfSpecification":0,"earlierImportId":null,"reading":{"shape":"measurement-a-row","headingLine":1,"columns":[{"position":1,"heading":"part_number","role":"partNumber","inWords":"part number"},{"position":2,"heading":"revision","role":"revision","inWords":"revision"},{"position":3,"heading":"serial","role":"serial","inWords":"serial number"},{"position":4,"heading":"build","role":"build","inWords":"build"},{"position":5,"heading":"characteristic","role":"characteristic","inWords":"characteristic (designator)"},{"position":6,"heading":"value","role":"value","inWords":"measured value"},{"position":7,"heading":"gauge","role":"gauge","inWords":"gauge"}],"roles":[{"role":"values","inWords":"measured values"},{"role":"partNumber","inWords":"part number"},{"role":"revision","inWords":"revision"},{"role":"partName","inWords":"name of the part"},{"role":"serial","inWords":"serial number"},{"role":"build","inWords":"build"},{"role":"furnaceLoad","inWords":"furnace load"},{"role":"tray","inWords":"tray"},{"role":"trayPlace","inWords":"place on the tray"},{"role":"unit","inWords":"unit"},{"role":"stage","inWords":"stage"},{"role":"replicate","inWords":"replicate"},{"role":"measuredAt","inWords":"time of measurement"},{"role":"timeOfDay","inWords":"time of day of the measurement"},{"role":"gauge","inWords":"gauge"},{"role":"inspector","inWords":"inspector"},{"role":"characteristic","inWords":"characteristic (designator)"},{"role":"characteristicName","inWords":"name of the characteristic"},{"role":"nominal","inWords":"nominal"},{"role":"lower","inWords":"lower specification limit"},{"role":"upper","inWords":"upper specification limit"},{"role":"tolerance","inWords":"tolerance, plus and minus"},{"role":"plusTolerance","inWords":"plus tolerance"},{"role":"minusTolerance","inWords":"minus tolerance"},{"role":"ownUpper","inWords":"upper limit of the part’s own"},{"role":"ownLower","inWords":"lower limit of the part’s own"},{"role":"bonus","inWords":"bonus tolerance of the part"},{"role":"value","inWords":"measured value"},{"role":"deviation","inWords":"deviation from nominal"},{"role":"bedX","inWords":"place in the bed, X"},{"role":"bedY","inWords":"place in the bed, Y"},{"role":"bedZ","inWords":"place in the bed, Z"}],"decimalMark":".","dateOrder":null,"values":"actual","context":[],"rows":[],"questions":[],"remembered":null}}');
insert into "cell" values (1,1,1,NULL,'sintered',5,42.02,0.0010000000000000284,42.0,42.04);
insert into "cell" values (2,2,1,NULL,'sintered',6,7.99,0.00039999999999998294,7.98,8.0);
insert into "cell" values (3,1,2,NULL,'sintered',6,42.02,0.0010000000000000284,42.0,42.04);
insert into "cell" values (4,2,2,NULL,'sintered',6,7.99,0.00039999999999998294,7.98,8.0);
insert into "measurement" values (1,1,1,42.0,1,NULL,NULL,3,2);
insert into "measurement" values (1,3,1,42.04,1,NULL,NULL,3,6);
insert into "measurement" values (1,5,1,42.03,1,NULL,NULL,3,10);
insert into "measurement" values (1,7,1,42.02,1,NULL,NULL,3,14);
insert into "measurement" values (1,9,1,42.01,1,NULL,NULL,3,18);
insert into "measurement" values (1,11,1,42.0,1,NULL,NULL,3,22);
insert into "measurement" values (2,1,1,7.99,1,NULL,NULL,3,3);
insert into "measurement" values (2,3,1,7.98,1,NULL,NULL,3,7);
insert into "measurement" values (2,5,1,8.0,1,NULL,NULL,3,11);
insert into "measurement" values (2,7,1,7.99,1,NULL,NULL,3,15);
insert into "measurement" values (2,9,1,7.98,1,NULL,NULL,3,19);
insert into "measurement" values (2,11,1,8.0,1,NULL,NULL,3,23);
insert into "measurement" values (3,2,1,42.02,1,NULL,NULL,3,4);
insert into "measurement" values (3,4,1,42.01,1,NULL,NULL,3,8);
insert into "measurement" values (3,6,1,42.0,1,NULL,NULL,3,12);
insert into "measurement" values (3,8,1,42.04,1,NULL,NULL,3,16);
insert into "measurement" values (3,10,1,42.03,1,NULL,NULL,3,20);
insert into "measurement" values (3,12,1,42.02,1,NULL,NULL,3,24);
insert into "measurement" values (4,2,1,8.0,1,NULL,NULL,3,5);
insert into "measurement" values (4,4,1,7.99,1,NULL,NULL,3,9);
insert into "measurement" values (4,6,1,7.98,1,NULL,NULL,3,13);
insert into "measurement" values (4,8,1,8.0,1,NULL,NULL,3,17);
insert into "measurement" values (4,10,1,7.99,1,NULL,NULL,3,21);
insert into "measurement" values (4,12,1,7.98,1,NULL,NULL,3,25);
insert into "measured_build" values (1,'sintered',1,6);
insert into "measured_build" values (1,'sintered',2,6);
insert into "build_gauge" values (1,1,'sintered',1);
insert into "build_gauge" values (2,1,'sintered',1);
insert into "token" values (1,'scales','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa',1790000000,NULL);
insert into "study_version" values (1,'sintered',1,'{"phases":[{"fromBuild":null,"reason":"start of the record","baselineCount":25},{"fromBuild":2,"reason":"as agreed","baselineCount":25}],"tests":["beyond-three-sigma","two-of-three","four-of-five","eight-on-one-side"],"betweenLevel":0.01,"within":"pooled-s","step":"average","repeats":"every"}','{"kind":"open-phase","build":2}','as agreed','Ines Quark',1790000000);
insert into "exclusion" values (1,1,'sintered',1,'S0',1,3,NULL,'mistyped','Ines Quark',1790000000);
insert into "finding" values (1,1,1,'sintered','[1]',1,2,'new powder lot','none','open','not yet','Ines Quark',1790000000);
insert into "remark" values (1,1,1,2,'belt replaced','Ines Quark',1790000000);
insert into "factor_decision" values (1,1,'B3',2,'{"before":{"x":1.18,"y":1.18,"z":1.2},"factors":{"x":1.182,"y":1.18,"z":1.2},"advised":{"x":1.182,"y":null,"z":null},"predictions":[]}','as agreed','Ines Quark',1790000000);
insert into "shrinkage_settings" values (1,1,'{"adjustment":{"leastBuilds":25,"changeCost":0.04,"needlessCost":1,"largestStep":0.003,"newestWeight":null},"told":[]}','as agreed','Ines Quark',1790000000);
insert into "record_entry" values (1,1795606256,'import','[{"id":1,"kind":"import"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"bytes":156,"file":"38f0ee3223b16fa0eafa4c1892172d0a08be51af70711839fef8718dfec28a81","kind":"characteristics","measurements":0,"rowsRead":2,"rowsRefused":0,"rowsTaken":2,"verdict":"taken"}','cd207bdc51f679f1215d345f84d547cd53f862059a3864ae4386f56623152589','0000000000000000000000000000000000000000000000000000000000000000','8d308923271545e0f814f213eaada5fbc4137040f54827bd063189c0035fb26d');
insert into "record_entry" values (2,1795606256,'import','[{"id":2,"kind":"import"}]','{"bytes":59,"file":"704bfc7c967101641a121a1e501431ce7e735789505341866778881d93d70ab7","kind":"builds","measurements":0,"rowsRead":2,"rowsRefused":0,"rowsTaken":2,"verdict":"taken"}','05640c3f5303d5023ea561476854a826b37f00e41131f5b34032974dc5b0cffc','8d308923271545e0f814f213eaada5fbc4137040f54827bd063189c0035fb26d','7725635a841afa6be499d6350c2ca53c6ff7d72c22fc968da1dfbe5c073081ea');
insert into "record_entry" values (3,1795606256,'import','[{"id":3,"kind":"import"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"bytes":728,"file":"29f58aaf13ed65359157cc7c4726ee3f8299499149b34af6e9514387ad99d3be","kind":"measurements","measurements":24,"rowsRead":24,"rowsRefused":0,"rowsTaken":24,"verdict":"taken"}','b7bf46cd97b5ab6de036aa7c68e27b872198190068887d0827e41369d4041190','7725635a841afa6be499d6350c2ca53c6ff7d72c22fc968da1dfbe5c073081ea','e5b216c5481ca7dbd5b7fe0dd02e8a07d9be7f32252215ed04978e1411a067c9');
insert into "record_entry" values (4,1790000000,'exclusion','[{"id":1,"kind":"build","name":"B1"},{"id":1,"kind":"characteristic","name":"1"},{"id":1,"kind":"exclusion"},{"id":3,"kind":"import"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"stage":"sintered","what":"value"}','2f2617d27454693f1b4526b1ac0428982ddda669a8fb94a721b6b5d66ff4cbf1','e5b216c5481ca7dbd5b7fe0dd02e8a07d9be7f32252215ed04978e1411a067c9','89da64ef3dafc2776830e4617de5a5cca4d1654bc430ce5dd4817e943eae9a84');
insert into "record_entry" values (5,1790000000,'finding','[{"id":1,"kind":"build","name":"B1"},{"id":2,"kind":"build","name":"B2"},{"id":1,"kind":"characteristic","name":"1"},{"id":1,"kind":"finding"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"revision":1,"stage":"sintered","state":"open","verified":"not yet"}','9444c2d7190bfd4b78ff55e4e572a860ab575984926cd851be7c9a32bf3d5c0b','89da64ef3dafc2776830e4617de5a5cca4d1654bc430ce5dd4817e943eae9a84','eba9dc58fc057fea7ec960352649abf839e5c54a2f053baf71076fc26734a143');
insert into "record_entry" values (6,1790000000,'remark','[{"id":2,"kind":"build","name":"B2"},{"id":1,"kind":"part-number","name":"HB-204 C"},{"id":1,"kind":"remark"}]','{"revision":1}','f62dc0a202e83e4775234443aa33bd825d871890390448b99da364eeb3f563e9','eba9dc58fc057fea7ec960352649abf839e5c54a2f053baf71076fc26734a143','d0014f0dbe5dc0dae0c8577531113b69362a20cbb874f8d844cc50df00e17d77');
insert into "record_entry" values (7,1790000000,'study','[{"id":1,"kind":"characteristic","name":"1"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"change":{"build":2,"kind":"open-phase"},"stage":"sintered","version":1}','ea88dfd62f216482fbe5bf2f68b91ce950ce4f074cb369fd2a4ef9f66bb4b21a','d0014f0dbe5dc0dae0c8577531113b69362a20cbb874f8d844cc50df00e17d77','81e9ab40fcdce58578d9280dbc8e987b4632ba4a8d7a634c37aac7d05a48291c');
insert into "record_entry" values (8,1790000000,'customer-requirements','[{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"assigned":[],"classes":[],"fallback":{"confidence":0.95,"index":"Ppk","value":1.33},"version":1}','5ca80d939428e7ca1f120530ce68eddc97950745c9cf308bed4da771b804a6bd','81e9ab40fcdce58578d9280dbc8e987b4632ba4a8d7a634c37aac7d05a48291c','9fc29807764f7d1c6b8b868bb116b06196c04b95de145d2d7d5f9132d3b3f433');
insert into "record_entry" values (9,1790000000,'shrinkage-settings','[{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"adjustment":{"changeCost":0.04,"largestStep":0.003,"leastBuilds":25,"needlessCost":1,"newestWeight":null},"told":[],"version":1}','2e1787316eb3981883e19d5c87774e32684d5379550953fab9ef1106d82dab6b','9fc29807764f7d1c6b8b868bb116b06196c04b95de145d2d7d5f9132d3b3f433','606a90779a96b5e36f5e4a24bdb90767c62bdf3ca1df0fefad6e3f73f9310a03');
insert into "record_entry" values (10,1790000000,'factor-decision','[{"id":2,"kind":"build","name":"B2"},{"id":1,"kind":"factor-decision"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"before":{"x":1.18,"y":1.18,"z":1.2},"factors":{"x":1.182,"y":1.18,"z":1.2},"firstBuild":"B3"}','ccd6ad6b78de8b1bfd766c992bb0440ca5aab698ef2e9a4949f1578a9f762673','606a90779a96b5e36f5e4a24bdb90767c62bdf3ca1df0fefad6e3f73f9310a03','af96ee74e2946343d2073d8313bee5416735f9fdac756d188c23ef0b9a4c11f0');
insert into "record_entry" values (11,1790000000,'gauge-entry','[{"id":1,"kind":"characteristic","name":"1"},{"id":1,"kind":"gauge","name":"CMM-1"},{"id":1,"kind":"part-number","name":"HB-204 C"}]','{"due":"2027-02-01","inUse":true,"version":1}','ff197cd03a10dfc98686ae3e25b630428792652dc9059fbc6dfa2800ea919c80','af96ee74e2946343d2073d8313bee5416735f9fdac756d188c23ef0b9a4c11f0','e3d45bf0685da3dc5d4dc09777803835860fd84e5fb288577344783ccf56e3ef');
insert into "record_entry" values (12,1790000000,'notice-settings','[]','{"newSecret":false,"quiet":null,"recipients":1,"version":1,"webhook":false}','013243964b4e7d68c56041270df08f36c8281b1ee1e678c18d9a77acea3b9e32','e3d45bf0685da3dc5d4dc09777803835860fd84e5fb288577344783ccf56e3ef','4861148a261855dd5e8faa23b24fc9c7422c286b35823534c7d9c8052f5aa169');
insert into "record_entry" values (13,1790000000,'person','[{"id":1,"kind":"person"}]','{"role":"administrator"}','a615a96cf0ed29a475f4f03c945f42e835a12024b0866cdc727472ee4731de61','4861148a261855dd5e8faa23b24fc9c7422c286b35823534c7d9c8052f5aa169','45a974bef1f900854bd5fdb0ba96b66f6511abb28ababb3417f9559d2f787fc0');
insert into "record_entry" values (14,1790000000,'token','[{"id":1,"kind":"token"}]','{"scopes":["read"]}','c59d18f12de2bfe521013a48dc81268cb77b9ec9f82c4b59f92c1dba0d3519cd','45a974bef1f900854bd5fdb0ba96b66f6511abb28ababb3417f9559d2f787fc0','e2b1cd91eeee1ad155a31d0aafb1188b0b4a10d818888938d5aa0c002870d117');
insert into "record_personal" values (1,'M. Inspector','{"fileName":"brought.csv"}','820b6b96ae7ff4ce8cb48133153bcf36');
insert into "record_personal" values (2,'M. Inspector','{"fileName":"brought.csv"}','45ec08b611e9d606f3b066ff8c717576');
insert into "record_personal" values (3,'M. Inspector','{"fileName":"brought.csv"}','0e96371ac888c84714ace47da1d12143');
insert into "record_personal" values (4,'Ines Quark','{"reason":"mistyped","replicate":1,"row":{"key":{"id":1},"sha256":"5d0c4b32b1ca7477dabcd03c1540b44a7df44cb44ea1d410c3c2e5b186d925d8","table":"exclusion"},"serial":"S0"}','324f52bae57d0c3b0ff928d2962a9095');
insert into "record_personal" values (5,'Ines Quark','{"action":"none","cause":"new powder lot","row":{"key":{"id":1,"revision":1},"sha256":"3775472265ff42e2e7e6abf1421e48171d5a6cbcc51722c8fc78713c285473fd","table":"finding"}}','ff4082fa8131549c1b52492d1c07b950');
insert into "record_personal" values (6,'Ines Quark','{"row":{"key":{"id":1,"revision":1},"sha256":"31ba00208030e8156aaad4a70b5b69e7fecce511d7b96a7fb95feb3453fbd6da","table":"remark"},"text":"belt replaced"}','7b0ff51583e0475374e186ccd4f14758');
insert into "record_personal" values (7,'Ines Quark','{"reason":"as agreed","row":{"key":{"characteristic_id":1,"stage":"sintered","version":1},"sha256":"318f57d7748151b5ac2ce180e9a9c8f5516e1b4b69f5ddd49aa71dc3870021f7","table":"study_version"}}','5cddbe41c0d05c7c6bec808f420b78d5');
insert into "record_personal" values (8,'Ines Quark','{"reason":"as agreed","row":{"key":{"part_number_id":1,"version":1},"sha256":"49fb12619919abb093775705f1bb7cddfce0d45aced1aeb0db155d1170c3ad10","table":"customer_requirements"}}','6151b2d2400777a9644f21bd24c394e5');
insert into "record_personal" values (9,'Ines Quark','{"reason":"as agreed","row":{"key":{"part_number_id":1,"version":1},"sha256":"a58773dc835035561a4d09755e9ec23a71472e6718f1db2439d9505e3adfd0a5","table":"shrinkage_settings"}}','a399374e87a67945ed63aa9b75617e44');
insert into "record_personal" values (10,'Ines Quark','{"reason":"as agreed","row":{"key":{"id":1},"sha256":"6868b533272c70356c0f3e8156d01bcc4965b43e82c1e057a77796f19d079f8f","table":"factor_decision"}}','f2b15b13faffe77bbd52a7dfd41efea8');
insert into "record_personal" values (11,'Ines Quark','{"reason":"as agreed","row":{"key":{"gauge_id":1,"version":1},"sha256":"2eceaf21d066ea38ac56fb068cb23660f6240c661a1698c3db06bf4369ace81a","table":"gauge_entry"}}','8e3ad438e98d2fdc4d05975aef547607');
insert into "record_personal" values (12,'Ines Quark','{"reason":"as agreed","recipients":"ines@shop.example","row":{"key":{"version":1},"sha256":"aa71e0426dd01e1fa5f5876e24d1a2ab1160fe1c750a3a25490eaadd3c874917","table":"notice_settings"},"webhook":null}','4b37003f91937c7df326a7087e337b76');
insert into "record_personal" values (13,'Ines Quark','{"name":"Ada Root"}','056d68561b3399c4e9c117355ea16c78');
insert into "record_personal" values (14,'Ines Quark','{"name":"scales"}','9649d2382f653a40fca21fb4e876fb80');
insert into "record_about" values ('import',1,1);
insert into "record_about" values ('part-number',1,1);
insert into "record_about" values ('import',2,2);
insert into "record_about" values ('import',3,3);
insert into "record_about" values ('part-number',1,3);
insert into "record_about" values ('build',1,4);
insert into "record_about" values ('characteristic',1,4);
insert into "record_about" values ('exclusion',1,4);
insert into "record_about" values ('import',3,4);
insert into "record_about" values ('part-number',1,4);
insert into "record_about" values ('build',1,5);
insert into "record_about" values ('build',2,5);
insert into "record_about" values ('characteristic',1,5);
insert into "record_about" values ('finding',1,5);
insert into "record_about" values ('part-number',1,5);
insert into "record_about" values ('build',2,6);
insert into "record_about" values ('part-number',1,6);
insert into "record_about" values ('remark',1,6);
insert into "record_about" values ('characteristic',1,7);
insert into "record_about" values ('part-number',1,7);
insert into "record_about" values ('part-number',1,8);
insert into "record_about" values ('part-number',1,9);
insert into "record_about" values ('build',2,10);
insert into "record_about" values ('factor-decision',1,10);
insert into "record_about" values ('part-number',1,10);
insert into "record_about" values ('characteristic',1,11);
insert into "record_about" values ('gauge',1,11);
insert into "record_about" values ('part-number',1,11);
insert into "record_about" values ('person',1,13);
insert into "record_about" values ('token',1,14);
insert into "person" values (1,'Ada Root','ada root','administrator',NULL,1790000000,NULL);
insert into "token_scope" values (1,'read');
insert into "notice_settings" values (1,'{"recipients":["ines@shop.example"],"webhook":null,"partNumberIds":null,"quiet":null,"newSecret":false}','as agreed','Ines Quark',1790000000);
insert into "customer_requirements" values (1,1,'{"fallback":{"index":"Ppk","value":1.33,"confidence":0.95},"classes":[],"assigned":[]}','as agreed','Ines Quark',1790000000);
insert into "gauge_entry" values (1,1,'{"kind":"measuring machine","unit":"mm","resolution":0.0001,"certificate":null,"due":"2027-02-01","characteristicIds":[1],"inUse":true}','as agreed','Ines Quark',1790000000);
insert into "cell_change" values (1,'sintered',1,5);
insert into "cell_change" values (1,'sintered',2,3);
CREATE UNIQUE INDEX "cell_place" on "cell" ("characteristic_id", "stage", "build_id", coalesce(furnace_load_id, 0));
CREATE INDEX "cell_build" on "cell" ("build_id");
CREATE INDEX "exclusion_place" on "exclusion" ("characteristic_id", "stage", "build_id");
CREATE INDEX "finding_part_number" on "finding" ("part_number_id");
CREATE INDEX "remark_part_number" on "remark" ("part_number_id");
CREATE INDEX "factor_decision_part_number" on "factor_decision" ("part_number_id");
CREATE INDEX "record_entry_kind" on "record_entry" ("kind", "sequence");
CREATE INDEX "record_entry_at" on "record_entry" ("at", "sequence");
CREATE INDEX "record_personal_who" on "record_personal" ("who", "sequence");
CREATE INDEX "record_about_sequence" on "record_about" ("sequence");
CREATE INDEX "session_person" on "session" ("person_id");
CREATE INDEX "known_event_series" on "known_event" ("part_number_id", "stage");
CREATE INDEX "notice_delivery_waiting" on "notice_delivery" ("state", "next_at");
CREATE INDEX "gauge_study_import" on "gauge_study" ("import_id");
CREATE INDEX "gauge_study_characteristic" on "gauge_study" ("characteristic_id");
CREATE INDEX "cell_change_latest" on "cell_change" ("part_number_id", "stage", "change");
CREATE TRIGGER record_entry_no_update before update on record_entry 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_entry_no_delete before delete on record_entry 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_about_no_update before update on record_about 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_about_no_delete before delete on record_about 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_erased_no_update before update on record_erased 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_erased_no_delete before delete on record_erased 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_personal_no_delete before delete on record_personal 
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER record_personal_no_update before update on record_personal when new.sequence <> old.sequence
       or not exists (select 1 from record_erased where record_erased.sequence = old.sequence)
         begin select raise(abort, 'entries of the record are never changed or deleted'); end;
CREATE TRIGGER cell_change_insert after insert on cell begin
        insert into cell_change (part_number_id, stage, build_id, change)
        select part_number_id, new.stage, new.build_id,
          (select coalesce(max(sequence), 0) + 1 from record_entry)
        from characteristic where id = new.characteristic_id
        on conflict (part_number_id, stage, build_id) do update set change = excluded.change
        where change <> excluded.change;
      end;
CREATE TRIGGER cell_change_update after update on cell begin
        insert into cell_change (part_number_id, stage, build_id, change)
        select part_number_id, new.stage, new.build_id,
          (select coalesce(max(sequence), 0) + 1 from record_entry)
        from characteristic where id = new.characteristic_id
        on conflict (part_number_id, stage, build_id) do update set change = excluded.change
        where change <> excluded.change;
      end;
CREATE TRIGGER cell_change_delete after delete on cell begin
        insert into cell_change (part_number_id, stage, build_id, change)
        select part_number_id, old.stage, old.build_id,
          (select coalesce(max(sequence), 0) + 1 from record_entry)
        from characteristic where id = old.characteristic_id
        on conflict (part_number_id, stage, build_id) do update set change = excluded.change
        where change <> excluded.change;
      end;
commit;
