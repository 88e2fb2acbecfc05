"""What the demo's plans foretold, row by row. Made by graftwright.demo.foretelling; not by hand.

Season, promise, variety, stock, stage, grafts planned, and the Beta: grafts lived, grafts lost.
"""

from datetime import date
from typing import Final

FORETOLD_ON: Final = {2008: date(2008, 2, 17), 2009: date(2009, 3, 6)}

FORETOLD: Final = """\
2008;promise 2008 church;Bramley's Seedling;M25;stock lives;12;140.0;5.0
2008;promise 2008 church;Bramley's Seedling;M25;take;12;12.088;3.165
2008;promise 2008 church;Bramley's Seedling;M25;grows to autumn;12;13.279;1.067
2008;promise 2008 church;Bramley's Seedling;M25;fit to hand over;12;10.573;1.305
2008;promise 2008 school;Discovery;M26;stock lives;16;140.0;5.0
2008;promise 2008 school;Discovery;M26;take;16;12.173;3.402
2008;promise 2008 school;Discovery;M26;grows to autumn;16;12.136;1.092
2008;promise 2008 school;Discovery;M26;fit to hand over;16;12.992;1.407
2008;promise 2008 green;Keswick Codlin;M25;stock lives;6;140.0;5.0
2008;promise 2008 green;Keswick Codlin;M25;take;6;11.063;3.018
2008;promise 2008 green;Keswick Codlin;M25;grows to autumn;6;12.081;1.022
2008;promise 2008 green;Keswick Codlin;M25;fit to hand over;6;10.619;1.244
2008;promise 2008 vicar;Conference;Quince C;stock lives;10;140.0;5.0
2008;promise 2008 vicar;Conference;Quince C;take;10;9.334;3.159
2008;promise 2008 vicar;Conference;Quince C;grows to autumn;10;10.196;1.006
2008;promise 2008 vicar;Conference;Quince C;fit to hand over;10;10.444;1.253
2008;promise 2008 marrow;Egremont Russet;M26;stock lives;10;140.0;5.0
2008;promise 2008 marrow;Egremont Russet;M26;take;10;11.378;3.247
2008;promise 2008 marrow;Egremont Russet;M26;grows to autumn;10;9.958;1.012
2008;promise 2008 marrow;Egremont Russet;M26;fit to hand over;10;10.624;1.28
2008;promise 2008 fold;Victoria;St Julien A;stock lives;10;140.0;5.0
2008;promise 2008 fold;Victoria;St Julien A;take;10;9.009;2.979
2008;promise 2008 fold;Victoria;St Julien A;grows to autumn;10;11.264;1.002
2008;promise 2008 fold;Victoria;St Julien A;fit to hand over;10;11.291;1.242
2008;promise 2008 plots;James Grieve;M26;stock lives;21;140.0;5.0
2008;promise 2008 plots;James Grieve;M26;take;21;12.029;3.367
2008;promise 2008 plots;James Grieve;M26;grows to autumn;21;10.647;1.059
2008;promise 2008 plots;James Grieve;M26;fit to hand over;21;11.319;1.339
2008;promise 2008 plots r;Egremont Russet;M9;stock lives;14;140.0;5.0
2008;promise 2008 plots r;Egremont Russet;M9;take;14;11.033;3.262
2008;promise 2008 plots r;Egremont Russet;M9;grows to autumn;14;9.518;1.015
2008;promise 2008 plots r;Egremont Russet;M9;fit to hand over;14;9.755;1.259
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;stock lives;17;140.0;5.0
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;take;17;10.797;3.117
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;grows to autumn;17;10.381;1.006
2008;promise 2008 ferrow a;Ashmead's Kernel;M116;fit to hand over;17;12.727;1.306
2008;promise 2008 ferrow c;Keswick Codlin;M116;stock lives;8;140.0;5.0
2008;promise 2008 ferrow c;Keswick Codlin;M116;take;8;10.853;3.084
2008;promise 2008 ferrow c;Keswick Codlin;M116;grows to autumn;8;11.379;1.024
2008;promise 2008 ferrow c;Keswick Codlin;M116;fit to hand over;8;12.438;1.291
2008;promise 2008 yard d;Discovery;M27;stock lives;8;140.0;5.0
2008;promise 2008 yard d;Discovery;M27;take;8;10.017;2.939
2008;promise 2008 yard d;Discovery;M27;grows to autumn;8;10.709;0.979
2008;promise 2008 yard d;Discovery;M27;fit to hand over;8;10.919;1.22
2008;promise 2008 yard g;James Grieve;M27;stock lives;1;140.0;5.0
2008;promise 2008 yard g;James Grieve;M27;take;1;9.95;2.923
2008;promise 2008 yard g;James Grieve;M27;grows to autumn;1;9.366;0.947
2008;promise 2008 yard g;James Grieve;M27;fit to hand over;1;9.596;1.17
2008;promise 2008 hallows;Discovery;M9;stock lives;8;140.0;5.0
2008;promise 2008 hallows;Discovery;M9;take;8;10.782;3.145
2008;promise 2008 hallows;Discovery;M9;grows to autumn;8;10.489;1.006
2008;promise 2008 hallows;Discovery;M9;fit to hand over;8;10.755;1.264
2009;promise 2009 church b;Bramley's Seedling;M25;stock lives;5;264.0;10.0
2009;promise 2009 church b;Bramley's Seedling;M25;take;5;23.723;4.63
2009;promise 2009 church b;Bramley's Seedling;M25;grows to autumn;5;28.324;1.322
2009;promise 2009 church b;Bramley's Seedling;M25;fit to hand over;5;29.293;2.243
2009;promise 2009 school d;Discovery;M26;stock lives;7;264.0;10.0
2009;promise 2009 school d;Discovery;M26;take;7;25.918;5.219
2009;promise 2009 school d;Discovery;M26;grows to autumn;7;28.031;1.476
2009;promise 2009 school d;Discovery;M26;fit to hand over;7;29.966;2.434
2009;promise 2009 school g;James Grieve;M26;stock lives;8;264.0;10.0
2009;promise 2009 school g;James Grieve;M26;take;8;23.242;5.162
2009;promise 2009 school g;James Grieve;M26;grows to autumn;8;17.924;1.262
2009;promise 2009 school g;James Grieve;M26;fit to hand over;8;26.209;2.281
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;stock lives;3;264.0;10.0
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;take;3;18.172;4.243
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;grows to autumn;3;18.094;1.078
2009;promise 2009 tarn;Sallow Rigg farmhouse apple;M116;fit to hand over;3;26.943;1.966
2009;promise 2009 church c;Keswick Codlin;M25;stock lives;5;264.0;10.0
2009;promise 2009 church c;Keswick Codlin;M25;take;5;17.243;4.369
2009;promise 2009 church c;Keswick Codlin;M25;grows to autumn;5;26.088;1.259
2009;promise 2009 church c;Keswick Codlin;M25;fit to hand over;5;29.705;2.138
2009;promise 2009 fold w;Conference;Quince C;stock lives;4;264.0;10.0
2009;promise 2009 fold w;Conference;Quince C;take;4;20.68;4.77
2009;promise 2009 fold w;Conference;Quince C;grows to autumn;4;21.959;1.255
2009;promise 2009 fold w;Conference;Quince C;fit to hand over;4;29.004;2.148
2009;promise 2009 fold v;Victoria;St Julien A;stock lives;6;264.0;10.0
2009;promise 2009 fold v;Victoria;St Julien A;take;6;19.163;4.55
2009;promise 2009 fold v;Victoria;St Julien A;grows to autumn;6;24.202;1.239
2009;promise 2009 fold v;Victoria;St Julien A;fit to hand over;6;30.197;2.087
2009;promise 2009 plots r;Egremont Russet;M9;stock lives;12;264.0;10.0
2009;promise 2009 plots r;Egremont Russet;M9;take;12;23.006;4.88
2009;promise 2009 plots r;Egremont Russet;M9;grows to autumn;12;21.24;1.293
2009;promise 2009 plots r;Egremont Russet;M9;fit to hand over;12;26.651;2.175
2009;promise 2009 plots c;Conference;Quince C;stock lives;8;264.0;10.0
2009;promise 2009 plots c;Conference;Quince C;take;8;20.68;4.77
2009;promise 2009 plots c;Conference;Quince C;grows to autumn;8;21.959;1.255
2009;promise 2009 plots c;Conference;Quince C;fit to hand over;8;29.004;2.148
2009;promise 2009 plots a;Ashmead's Kernel;M26;stock lives;9;264.0;10.0
2009;promise 2009 plots a;Ashmead's Kernel;M26;take;9;22.94;4.903
2009;promise 2009 plots a;Ashmead's Kernel;M26;grows to autumn;9;20.297;1.264
2009;promise 2009 plots a;Ashmead's Kernel;M26;fit to hand over;9;27.847;2.235
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;stock lives;9;264.0;10.0
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;take;9;21.261;4.896
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;grows to autumn;9;20.454;1.252
2009;promise 2009 ferrow a;Ashmead's Kernel;M116;fit to hand over;9;31.891;2.218
2009;promise 2009 ferrow c;Keswick Codlin;M116;stock lives;10;264.0;10.0
2009;promise 2009 ferrow c;Keswick Codlin;M116;take;10;17.063;4.581
2009;promise 2009 ferrow c;Keswick Codlin;M116;grows to autumn;10;23.894;1.296
2009;promise 2009 ferrow c;Keswick Codlin;M116;fit to hand over;10;31.557;2.161
2009;promise 2009 workshop;James Grieve;M26;stock lives;21;264.0;10.0
2009;promise 2009 workshop;James Grieve;M26;take;21;23.242;5.162
2009;promise 2009 workshop;James Grieve;M26;grows to autumn;21;17.924;1.262
2009;promise 2009 workshop;James Grieve;M26;fit to hand over;21;26.209;2.281
2009;promise 2009 balcony;Discovery;M27;stock lives;2;264.0;10.0
2009;promise 2009 balcony;Discovery;M27;take;2;22.205;4.607
2009;promise 2009 balcony;Discovery;M27;grows to autumn;2;25.507;1.278
2009;promise 2009 balcony;Discovery;M27;fit to hand over;2;29.848;2.156
"""
